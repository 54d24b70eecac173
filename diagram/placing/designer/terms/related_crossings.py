"""Lines of one piece, and lines one turn apart, do not cross each other.

Weight 4 for each. The two diagonals on which a course changes rein may, between their fences; a
ride to one hand has none: two lines on ponies crossed in a ring of 20 x 60 m.
"""

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.placing.designer.crossing import crossed
from diagram.placing.designer.ground import DesignGround, off_direction
from diagram.placing.designer.term import Term, Wholes

ASKEW_RAD = math.radians(3)


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    return _crossings(ground, view, None)


def _crossings(ground: DesignGround, view: Wholes, newest: int | None) -> Floats:
    """What crosses (K,); of that, what is of the `newest` piece, if that is said."""
    total = np.zeros(len(view))
    lines = ground.lines
    changes = len({way.left for _, way in ground.turns}) > 1
    for i, j in related(ground):
        if newest not in (None, lines[i].piece, lines[j].piece):
            continue
        cross = crossed(view.first[:, i], view.last[:, i], view.first[:, j], view.last[:, j])
        both = np.ones(len(view), dtype=bool)
        for n in (i, j):
            heading = np.angle(view.last[:, n] - view.first[:, n])
            both &= off_direction(heading, ground.rails) > ASKEW_RAD
        excused = both if changes and lines[i].piece != lines[j].piece else np.zeros_like(both)
        total += cross & ~excused
    return total


def related(ground: DesignGround) -> list[tuple[int, int]]:
    """Pairs of numbers of lines that belong together."""
    joined = {frozenset((ground.piece_of[w.first.body], ground.piece_of[w.second.body]))
              for _, w in ground.turns}  # fmt: skip
    lines = ground.lines
    return [
        (i, j) for i in range(len(lines)) for j in range(i)
        if not lines[i].single and not lines[j].single
        and (lines[i].piece == lines[j].piece
             or frozenset((lines[i].piece, lines[j].piece)) in joined)
    ]  # fmt: skip


TERM = Term(
    "related lines that do not cross", 4.0, of_whole=_of_whole, grows=True, of_new=_crossings
)
