"""The track crosses itself seldom, and not near a fence.

Weight 2 for each place where a line of the ride is crossed, double within 6 m of a fence of it;
half where two turns cross.
"""

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.placing.designer.clashes import standing_turns
from diagram.placing.designer.crossing import all_crossed, crossed, tracks_crossed
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Term, Wholes
from diagram.placing.designer.terms.related_crossings import related

NEAR_M = 6.0


def _of_whole(ground: DesignGround, view: Wholes) -> Floats:
    return _crossings(ground, view, None)


def _crossings(ground: DesignGround, view: Wholes, newest: int | None) -> Floats:
    """What crosses (K,); of that, what is of the `newest` piece or leads to it, if that is said."""
    total = _lines(ground, view, newest)
    ends = standing_turns(ground, set(view.fence_piece))
    new = [newest is None or newest in pieces for pieces in ends]
    new_lines = [n for n, line in enumerate(ground.lines) if newest in (None, line.piece)]
    turns = [view.turns[:, t] for t in range(view.turns.shape[1])]
    _past_lines(total, view, [t for t, n in zip(turns, new, strict=True) if n], None)
    _past_lines(total, view, [t for t, n in zip(turns, new, strict=True) if not n], new_lines)
    pairs = [(n, m) for n in range(len(turns)) for m in range(n) if new[n] or new[m]]
    return total + _turns(turns, pairs)


def _past_lines(total: Floats, view: Wholes, turns: list[Numbers], lines: list[int] | None) -> None:
    """Add where turns (K, P each) cross lines, all or those numbered."""
    if not turns or lines == []:
        return
    a = np.concatenate([turn[:, :-1] for turn in turns], axis=1)
    b = np.concatenate([turn[:, 1:] for turn in turns], axis=1)
    first, last = (v if lines is None else v[:, lines] for v in (view.first, view.last))
    k, i, j = all_crossed(a, b, first, last).nonzero()
    at = (a[k, i] + b[k, i]) / 2
    gap = np.minimum(np.abs(at - first[k, j]), np.abs(at - last[k, j]))
    np.add.at(total, k, 1.0 + (gap < NEAR_M))


def _turns(turns: list[Numbers], pairs: list[tuple[int, int]]) -> Floats | float:
    """What pairs of turns (K, P each) cross (K,), looking only where they can."""
    if not pairs:
        return 0.0
    boxes = np.array([(t.real.min(1), t.real.max(1), t.imag.min(1), t.imag.max(1)) for t in turns])
    one, other = np.array(pairs).T
    west, east, south, north = boxes.swapaxes(0, 1)
    near = (west[one] < east[other]) & (west[other] < east[one])
    near &= (south[one] < north[other]) & (south[other] < north[one])
    n, k = near.nonzero()
    places = np.stack(turns)
    cross = tracks_crossed(places[one[n], k], places[other[n], k])
    total: Floats = np.bincount(k, 0.5 * cross.sum(axis=(1, 2)), len(turns[0])).astype(np.float64)
    return total


def _lines(ground: DesignGround, view: Wholes, newest: int | None) -> Floats:
    known = set(related(ground))
    lines = ground.lines
    pairs = [
        (i, j) for i in range(len(lines)) for j in range(i)
        if newest in (None, lines[i].piece, lines[j].piece)
        and (i, j) not in known and not lines[i].single and not lines[j].single
    ]  # fmt: skip
    if not pairs:
        return np.zeros(len(view))
    i, j = np.array(pairs).T
    cross = crossed(view.first[:, i], view.last[:, i], view.first[:, j], view.last[:, j])
    total: Floats = 0.5 * cross.sum(axis=1)
    return total


TERM = Term("few crossings", 2.0, of_whole=_of_whole, grows=True, of_new=_crossings)
