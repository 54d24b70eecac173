"""After the last fence three strides straight on, then room to go round.

Weight 3. Three strides after the last fence: [S144].
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term
from diagram.placing.designer.walls import clear_ahead

STRIDES = 3


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    way = ground.finish
    if way is None or ground.piece_of[way.end.body] != number:
        return np.zeros(len(states))
    limits = ground.problem.limits.canter
    place, heading = states.end(way.end)
    wanted = limits.landing_m + STRIDES * limits.stride_m + limits.manner.least_radius
    clear = clear_ahead(ground.problem.region, place, heading) - limits.manner.rail
    return np.asarray(np.clip((wanted - clear) / wanted, 0.0, 1.0))


TERM = Term("three strides straight after the last fence", 3.0, of_piece=_of_piece)
