"""The straight in the middle of a turn lies with a rail.

Weight 0.5: otherwise ends of the ring are ridden slanting.
"""

import math

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, off_direction, ramp
from diagram.placing.designer.term import Term
from diagram.placing.designer.turn_table import Turned
from diagram.solver.relations import Turning


def _of_turn(ground: DesignGround, _: Turning, turned: Turned) -> Floats:
    return ramp(off_direction(turned.across, ground.rails), math.radians(2), math.radians(30))


TERM = Term("turns with the rail", 0.5, of_turn=_of_turn)
