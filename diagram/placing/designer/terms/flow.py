"""Turns flow: little longer than they turn, and a turn that was said is no dogleg.

What runs along a rail from one side of the ring to the other is no detour.
Weight 2, for each 30 metres of extra track; a turn of less than 60 degrees counts as much. Without
it courses wandered.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, off_direction, ramp
from diagram.placing.designer.term import Term
from diagram.placing.designer.turn_table import Turned
from diagram.solver.relations import Turning

EXTRA_M, MOST = 30.0, 3.0
DOGLEG_RAD = math.radians(60)
ALONG_RAIL_RAD = math.radians(5), math.radians(30)


def _of_turn(ground: DesignGround, turn: Turning, turned: Turned) -> Floats:
    ideal = turned.straight + turn.radius * np.minimum(turned.net, math.pi)
    with_rail = 1 - ramp(off_direction(turned.across, ground.rails), *ALONG_RAIL_RAD)
    free = with_rail * np.minimum(turned.far, ground.short_side)
    extra = np.clip((turned.length - ideal - free) / EXTRA_M, 0.0, MOST)
    round_again = np.maximum(turned.net - 1.25 * math.pi, 0.0) / math.pi
    return np.asarray(extra + (turned.net < DOGLEG_RAD) + round_again)


TERM = Term("turns that flow", 2.0, of_turn=_of_turn)
