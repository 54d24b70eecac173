"""The track crosses itself seldom, and not near a fence.

Weight 2 for each place where a line of the ride is crossed, double within 6 m of a fence of it;
half where two turns cross.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.crossing import all_crossed, crossed
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes
from diagram.placing.designer.terms.related_crossings import related

NEAR_M = 6.0


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    total = _lines(ground, view)
    turns = [view.turns[:, t] for t in range(view.turns.shape[1])]
    for n, turn in enumerate(turns):
        a, b = turn[:, :-1], turn[:, 1:]
        if view.first.shape[1]:
            k, i, j = all_crossed(a, b, view.first, view.last).nonzero()
            at = (a[k, i] + b[k, i]) / 2
            gap = np.minimum(np.abs(at - view.first[k, j]), np.abs(at - view.last[k, j]))
            np.add.at(total, k, 1.0 + (gap < NEAR_M))
        for other in turns[:n]:
            cross = all_crossed(a, b, other[:, :-1], other[:, 1:])
            total += 0.5 * cross.sum(axis=(1, 2))
    return total


def _lines(ground: DesignGround, view: Wholes) -> Floats:
    total = np.zeros(len(view))
    known = set(related(ground))
    lines = ground.lines
    for i in range(len(lines)):
        for j in range(i):
            if (i, j) not in known and not lines[i].single and not lines[j].single:
                ends = view.first[:, i], view.last[:, i], view.first[:, j], view.last[:, j]
                total += 0.5 * crossed(*ends)
    return total


TERM = Term("few crossings", 2.0, of_whole=_of_whole, grows=True)
