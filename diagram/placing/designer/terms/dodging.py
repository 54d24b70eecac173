"""Turns need not be ridden round a fence that stands in their plain way.

Weight 3 for each fence that a plain turn passes nearer than a track may: what is ridden there
instead is another turn, and may be none.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.clashes import nearness
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes

LEAST_M, SHORT_M = 0.05, 0.5
"""A turn that passes a fence by `LEAST_M` less than it may is no matter; one by `SHORT_M` less than
that counts in full."""


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    wanted = ground.problem.limits.canter.manner.fences - LEAST_M
    short = (wanted - nearness(ground, view).turns + view.thick) / SHORT_M
    total: Floats = np.clip(short, 0.0, 1.0).sum(axis=1)
    return total


TERM = Term("plain turns clear of fences", 3.0, of_whole=_of_whole, grows=True)
