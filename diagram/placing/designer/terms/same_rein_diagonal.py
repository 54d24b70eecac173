"""Diagonals are for changing the rein: one between two turns to the same hand is none.

Weight 1.5: without it fields that are no rectangle stand askew.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, off_direction
from diagram.placing.designer.states import States
from diagram.placing.designer.term import Term

ASKEW_RAD = math.radians(3)
LAST = 0.5
"""A course may come home on a diagonal; it seldom begins on one."""


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    into = [way for _, way in ground.turns if ground.piece_of[way.second.body] == number]
    away = [way for _, way in ground.turns if ground.piece_of[way.first.body] == number]
    if any(one.left != other.left for one in into for other in away):
        return np.zeros(len(states))
    share = 1.0 if away else LAST
    total = np.zeros(len(states))
    for line in ground.lines:
        if line.piece == number:
            _, heading = states.end(line.first)
            total = np.maximum(total, off_direction(heading, ground.rails) > ASKEW_RAD)
    return share * total


TERM = Term("diagonals that change the rein", 1.5, of_piece=_of_piece)
