"""Outside lines stand 4 to 5 metres off the rail where there is a choice.

Weight 1: it tells apart what nothing else does.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.ground import DesignGround, off_direction
from diagram.placing.designer.states import States, pairs
from diagram.placing.designer.term import Term

LIKED_M, SPARE_M, FAR_M, SHARE_M = 4.5, 0.5, 8.0, 3.0


def _of_piece(ground: DesignGround, number: int, states: States) -> Floats:
    total = np.zeros(len(states))
    for line in ground.lines:
        if line.piece == number and not line.single:
            place, heading = states.end(line.first)
            depth = ground.problem.region.inside(pairs(place))
            beside = (depth < FAR_M) & (off_direction(heading, ground.rails) < math.radians(1))
            off = np.maximum(np.abs(depth - LIKED_M) - SPARE_M, 0.0) / SHARE_M
            total += np.where(beside, np.minimum(off, 1.0), 0.0)
    return total


TERM = Term("outside lines 4 to 5 m off the rail", 1.0, of_piece=_of_piece)
