"""A bend of which no angle is said is a gentle one: nothing up to 45 degrees, all from 90.

So that a bend is a line with a curve in it, as a rider takes "a bending five", and no corner
(common practice, no source; the worked bend of the trade's pages turns 30 degrees).

Weight 1.5: more than it costs to put one line at 45 degrees, less than a line at an odd angle.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, ramp
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term

NOTHING_RAD, ALL_RAD = math.radians(45), math.radians(90)


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    total = np.zeros(len(states))
    for bend in ground.bends:
        if bend.turn is None and not bend.round and ground.piece_of[bend.first.body] == number:
            (_, out), (_, into) = states.end(bend.first), states.end(bend.second)
            turned = np.abs((into - out + math.pi) % (2 * math.pi) - math.pi)
            total += ramp(turned, NOTHING_RAD, ALL_RAD)
    return total


TERM = Term("gentle bends", 1.5, of_piece=_of_piece)
