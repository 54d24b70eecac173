"""How near fences stand to each other and to the tracks that are not their own."""

from __future__ import annotations

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.room import FREE_AFTER
from diagram.placing.designer.ground import Ground
from diagram.placing.designer.term import View
from diagram.solver.rows import Ints

FAR_M = 99.0
SHARES = (-1.0, -0.5, 0.0, 0.5, 1.0)
"""Places looked at on the poles of a fence."""
ALONG_LINE = np.linspace(0.0, 1.0, 12)


def to_poles(place: Numbers, middle: Numbers, along: Numbers, half: Floats) -> Floats:
    """Metres from places to the poles of fences, broadcast together."""
    own = (place - middle) * along.conj()
    aside = np.maximum(np.abs(own.real) - half, 0.0)
    return np.asarray(np.sqrt(aside**2 + own.imag**2))


def fences_apart(view: View, newest: int | None = None) -> Floats:
    """For each fence (K, F) metres to the nearest of another piece; of those between the fences
    of the `newest` piece and others alone, if that is said."""
    piece = np.array(view.fence_piece)
    out = np.full(view.middles.shape, FAR_M)
    some = _columns(view, newest)
    apart = np.where(piece[some, None] == piece, FAR_M, 0.0)
    for share in SHARES:
        place = view.middles + share * view.half * view.along
        gap = apart + _to_fences(place[:, some], view)
        out[:, some] = np.minimum(out[:, some], gap.min(axis=2))
        out = np.minimum(out, gap.min(axis=1))
        if newest is not None:
            gap = apart.T + _to_fences(place, view, some)
            out[:, some] = np.minimum(out[:, some], gap.min(axis=1))
            out = np.minimum(out, gap.min(axis=2))
    return out


def tracks_to_fences(ground: Ground, view: View, newest: int | None = None) -> Floats:
    """For each fence (K, F) metres to the nearest track that does not begin or end at it; of the
    tracks and the fences of the `newest` piece alone, if that is said."""
    out = np.full(view.middles.shape, FAR_M)
    piece = np.array(view.fence_piece)
    some = _columns(view, newest)

    def seen(places: Numbers, *ends: tuple[Numbers, int]) -> None:
        new = newest is None or any(newest == number for _, number in ends)
        columns = np.arange(len(piece)) if new else some
        gap = _to_fences(places, view, columns)
        for at, number in ends:
            near = np.abs(places - at) < FREE_AFTER
            gap += np.where(near[:, :, None] & (piece[columns] == number), FAR_M, 0.0)
        out[:, columns] = np.minimum(out[:, columns], gap.min(axis=1))

    ways = [
        way for _, way in ground.turns
        if ground.piece_of[way.first.body] in piece and ground.piece_of[way.second.body] in piece
    ]  # fmt: skip
    for n, way in enumerate(ways):
        places = view.turns[:, n]
        first, second = (ground.piece_of[end.body] for end in (way.first, way.second))
        seen(places, (places[:, :1], first), (places[:, -1:], second))
    for n, line in enumerate(ground.lines):
        if not line.single and line.piece in piece:
            places = view.first[:, n, None] + (view.last - view.first)[:, n, None] * ALONG_LINE
            seen(places, (places, line.piece))
    bent = [ground.piece_of[b.first.body] for b in ground.bends]
    for n, number in enumerate(number for number in bent if number in piece):
        seen(view.bends[:, n], (view.bends[:, n], number))
    opens = [w for w in (ground.start, ground.finish) if w and ground.piece_of[w.end.body] in piece]
    for n, open_way in enumerate(opens):
        places = view.opens[:, n]
        seen(places, (places[:, :1], ground.piece_of[open_way.end.body]))
    return out


def _columns(view: View, newest: int | None) -> Ints:
    """The numbers of the fences of one piece, or of all."""
    piece = np.array(view.fence_piece)
    return np.asarray((np.full(piece.shape, newest is None) | (piece == newest)).nonzero()[0])


def _to_fences(places: Numbers, view: View, columns: Ints | slice = slice(None)) -> Floats:
    """Metres (K, P, F) from places (K, P) to all fences, or some of them."""
    middles, along = view.middles[:, None, columns], view.along[:, None, columns]
    return to_poles(places[:, :, None], middles, along, view.half[columns])
