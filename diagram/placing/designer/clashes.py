"""How near fences stand to each other and to the tracks that are not their own.

Only what is near is measured: a gap of `REACH_M` or more counts as `FAR_M`.
"""

from __future__ import annotations

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.room import FREE_AFTER
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Wholes
from diagram.solver.rows import Ints

FAR_M, REACH_M = 99.0, 4.0
SHARES = np.linspace(-1.0, 1.0, 5)
"""Places looked at on the poles of a fence."""
ALONG_LINE = np.linspace(0.0, 1.0, 12)


def to_poles(place: Numbers, middle: Numbers, along: Numbers, half: Floats) -> Floats:
    """Metres from places to the poles of fences, broadcast together."""
    own = (place - middle) * along.conj()
    aside = np.maximum(np.abs(own.real) - half, 0.0)
    return np.asarray(np.sqrt(aside**2 + own.imag**2))


def fences_apart(view: Wholes, newest: int | None = None) -> Floats:
    """For each fence (K, F) metres to the nearest of another piece; of those between the fences
    of the `newest` piece and others alone, if that is said."""
    piece = np.array(view.fence_piece)
    out = np.full(view.middles.shape, FAR_M)
    apart = piece[:, None] != piece
    if newest is None:
        apart &= np.arange(len(piece))[:, None] < np.arange(len(piece))
    else:
        apart &= (piece == newest)[:, None]
    i, j = apart.nonzero()
    gap = view.middles[:, i] - view.middles[:, j]
    near = gap.real**2 + gap.imag**2 < (view.half[i] + view.half[j] + REACH_M) ** 2
    k, n = near.nonzero()
    for one, other in ((i[n], j[n]), (j[n], i[n])):
        poles = view.middles[k, one] + SHARES[:, None] * view.half[one] * view.along[k, one]
        metres = to_poles(poles, view.middles[k, other], view.along[k, other], view.half[other])
        least = metres.min(axis=0)
        np.minimum.at(out, (k, one), least)
        np.minimum.at(out, (k, other), least)
    return out


def tracks_to_fences(ground: DesignGround, view: Wholes, newest: int | None = None) -> Floats:
    """For each fence (K, F) metres to the nearest track that does not begin or end at it; of the
    tracks and the fences of the `newest` piece alone, if that is said."""
    out = np.full(view.middles.shape, FAR_M)
    piece = np.array(view.fence_piece)
    some = _columns(view, newest)

    def seen(places: Numbers, *ends: tuple[Numbers, int]) -> None:
        new = newest is None or any(newest == number for _, number in ends)
        columns = np.arange(len(piece)) if new else some
        gap = places[:, :, None] - view.middles[:, None, columns]
        near = gap.real**2 + gap.imag**2 < (view.half[columns] + REACH_M) ** 2
        k, p, n = near.nonzero()
        place, fence = places[k, p], columns[n]
        own = np.zeros(len(k), dtype=bool)
        for at, number in ends:
            free = np.abs(place - np.broadcast_to(at, places.shape)[k, p]) < FREE_AFTER
            own |= free & (piece[fence] == number)
        k, place, fence = k[~own], place[~own], fence[~own]
        metres = to_poles(place, view.middles[k, fence], view.along[k, fence], view.half[fence])
        np.minimum.at(out, (k, fence), metres)

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


def _columns(view: Wholes, newest: int | None) -> Ints:
    """The numbers of the fences of one piece, or of all."""
    piece = np.array(view.fence_piece)
    return np.asarray((np.full(piece.shape, newest is None) | (piece == newest)).nonzero()[0])
