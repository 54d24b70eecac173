"""The ride starts from the gate's side, with three strides straight to the first fence.

Weight 3. Three strides before the first fence: [S144]; behind them the horse comes round a corner
or along a rail, so there has to be room for that as well.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term
from diagram.placing.designer.walls import clear_ahead

STRIDES = 3


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    way = ground.start
    if way is None or ground.piece_of[way.end.body] != number:
        return np.zeros(len(states))
    limits = ground.problem.limits.canter
    place, heading = states.end(way.end)
    wanted = limits.landing_m + STRIDES * limits.stride_m + limits.manner.least_radius
    clear = clear_ahead(ground.problem.region, place, heading) - limits.manner.rail
    short = np.clip((wanted - clear) / wanted, 0.0, 1.0)
    if ground.gate is None:
        return short
    begin = place + np.exp(1j * heading) * np.minimum(clear, wanted)
    far = np.abs(begin - complex(*ground.gate)) / ground.size
    return np.asarray(short + 0.5 * np.maximum(far - 0.25, 0.0))


TERM = Term("a start from the gate's side, straight to the first fence", 3.0, of_piece=_of_piece)
