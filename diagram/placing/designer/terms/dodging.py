"""Turns need not be ridden round a fence that stands in their plain way.

Weight 3 for each fence that a plain turn passes nearer than a track may: what is ridden there
instead is another turn, and may be none.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.clashes import turns_to_fences
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes

SLACK_M = 0.25
"""Metres by which a turn that is ridden commonly keeps further off than the plain one."""


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    least = ground.problem.limits.canter.manner.fences - SLACK_M
    gaps = turns_to_fences(ground, view) - view.thick
    return np.asarray((gaps < least).sum(axis=1), dtype=np.float64)


TERM = Term("plain turns clear of fences", 3.0, of_whole=_of_whole, grows=True)
