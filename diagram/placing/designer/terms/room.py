"""Room that saturates: 3 m from standard to standard and from tracks to standards.

Weight 1 for each fence that has less. More is no better: the ring is there to be used.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.clashes import nearness
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes

ENOUGH_M = 3.0


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    near = nearness(ground, view)
    gaps = near.fences, near.tracks
    short = [np.clip((ENOUGH_M - v) / ENOUGH_M, 0.0, 1.0).sum(axis=1) for v in gaps]
    return np.asarray((short[0] + short[1]) / 2)


TERM = Term("room to fences", 1.0, of_whole=_of_whole, grows=True)
