"""A rollback is a half circle and back, and no way round the ring.

Nothing with two strides straight at both ends of a half circle as tight as is fair; all with half
of that again, or where it does not come back. What a rollback is, is common practice (no source).

Weight 3: it is said in the file, so it goes before all that is only liked.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, ramp
from diagram.placing.designer.term import Term
from diagram.placing.designer.turn_table import Turned
from diagram.solver.relations import Turning

LONGER = 1.5
BACK_RAD = math.radians(150)


def _of_turn(ground: DesignGround, turn: Turning, turned: Turned) -> Floats:
    if not turn.tight:
        return np.zeros(turned.length.shape)
    manner = ground.problem.limits.canter.manner
    short = 2 * manner.wanted_straight + math.pi * manner.least_radius
    return ramp(turned.length, short, LONGER * short) + (turned.net < BACK_RAD)


TERM = Term("short rollbacks", 3.0, of_turn=_of_turn)
