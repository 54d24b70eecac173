"""Lines lie with a rail or on a diagonal: nothing inside 1 degree, all from 6.

What lies at 45 degrees, as bends at times must, counts a third.

Weight 4: it goes before everything that is only liked, after what is asked. At half of it an L
field and narrow rings came out askew.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, off_direction, ramp
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term

NOTHING_RAD, ALL_RAD = math.radians(1), math.radians(6)
SLANTING = 0.35


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    total = np.zeros(len(states))
    for line in ground.lines:
        if line.piece == number:
            _, heading = states.end(line.first)
            plain, slanting = (
                ramp(off_direction(heading, directions), NOTHING_RAD, ALL_RAD)
                for directions in (np.concatenate([ground.rails, ground.diagonals]), ground.slants)
            )
            total += np.minimum(plain, SLANTING + (1 - SLANTING) * slanting)
    return total


TERM = Term("lines with a rail or on a diagonal", 4.0, of_piece=_of_piece)
