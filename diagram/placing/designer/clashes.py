"""How near fences stand to each other and to the tracks that are not their own.

Only what is near is measured: a gap of `REACH_M` or more counts as `FAR_M`.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.room import FREE_AFTER
from diagram.placing.designer.crossing import crossed
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import Wholes

FAR_M, REACH_M = 99.0, 4.0
SHARES = np.linspace(-1.0, 1.0, 5)
"""Places looked at on the poles of a fence."""


def segments_apart(begin: Numbers, end: Numbers, pole: Numbers, along: Numbers) -> Floats:
    """Metres between pieces of track and poles that go `along` from one end, 0 where they cross."""
    ahead = end - begin
    gaps = [
        _to_segment(begin, pole, along), _to_segment(end, pole, along),
        _to_segment(pole, begin, ahead), _to_segment(pole + along, begin, ahead),
    ]  # fmt: skip
    cross = crossed(begin, end, pole, pole + along)
    return np.asarray(np.where(cross, 0.0, np.minimum.reduce(gaps)))


def _to_segment(place: Numbers, begin: Numbers, ahead: Numbers) -> Floats:
    gap, long = place - begin, ahead.real**2 + ahead.imag**2
    share = (gap.real * ahead.real + gap.imag * ahead.imag) / np.maximum(long, 1e-9)
    off = gap - np.clip(share, 0.0, 1.0) * ahead
    return np.asarray(np.sqrt(off.real**2 + off.imag**2))


def to_poles(place: Numbers, middle: Numbers, along: Numbers, half: Floats | float) -> Floats:
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


def tracks_to_fences(
    ground: DesignGround, view: Wholes, newest: int | None = None, fixed: bool = False
) -> Floats:
    """For each fence (K, F) metres to the nearest track that does not begin or end at it; of the
    tracks and the fences of the `newest` piece alone, if that is said.

    What is `fixed` are lines, bends and as much of the ways before and after the ride as has to be
    straight: turns, and what lies beyond, can be ridden otherwise.
    """
    piece = np.array(view.fence_piece)
    past = _Past(view, newest, np.full(view.middles.shape, FAR_M))
    if not fixed and newest is None:
        past = _Past(view, None, turns_to_fences(ground, view).copy())
    elif not fixed:
        past.turns(ground)
    for n, line in enumerate(ground.lines):
        if not line.single and line.piece in piece:
            places = np.stack([view.first[:, n], view.last[:, n]], axis=1)
            past.seen(places, (None, line.piece))
    bent = [ground.piece_of[b.first.body] for b in ground.bends]
    for n, number in enumerate(number for number in bent if number in piece):
        past.seen(view.bends[:, n], (None, number))
    opens = [w for w in (ground.start, ground.finish) if w and ground.piece_of[w.end.body] in piece]
    for n, open_way in enumerate(opens):
        if open_way.circle:
            places = view.opens[:, n]
            past.seen(places, (0, ground.piece_of[open_way.end.body]))
            continue
        places = view.opens[:, n, [0, -1]]
        if fixed:
            far = np.maximum(np.abs(places[:, 1] - places[:, 0]), 1e-6)
            share = np.minimum(ground.problem.limits.canter.manner.wanted_straight / far, 1.0)
            places[:, 1] = places[:, 0] + share * (places[:, 1] - places[:, 0])
        past.seen(places, (0, ground.piece_of[open_way.end.body]))
    return past.out


def turns_to_fences(ground: DesignGround, view: Wholes) -> Floats:
    """For each fence (K, F) metres to the nearest plain turn that does not begin or end at it."""
    if view.past_turns is not None:
        return view.past_turns
    past = _Past(view, None, np.full(view.middles.shape, FAR_M))
    past.turns(ground)
    return past.out


def standing_turns(ground: DesignGround, pieces: set[int]) -> list[tuple[int, int]]:
    """The pieces at both ends of each turn between pieces that stand, in the order of the ride."""
    ways = [
        (ground.piece_of[way.first.body], ground.piece_of[way.second.body])
        for _, way in ground.turns
    ]
    return [ends for ends in ways if pieces.issuperset(ends)]


class _Past(Struct, frozen=True):
    """Tracks past fences: `out` (K, F) is the least gap seen."""

    view: Wholes
    newest: int | None
    out: Floats

    def turns(self, ground: DesignGround) -> None:
        """All turns between pieces that stand."""
        piece = set(self.view.fence_piece)
        for n, (first, second) in enumerate(standing_turns(ground, piece)):
            places = self.view.turns[:, n]
            self.seen(places, (0, first), (-1, second))

    def seen(self, places: Numbers, *ends: tuple[int | None, int]) -> None:
        """A track through places (K, P): near its ends, or all along, free of their fences.

        Each end is the number of a place, 0 or -1, and the piece that is there.
        """
        view, newest = self.view, self.newest
        piece = np.array(view.fence_piece)
        new = newest is None or any(newest == number for _, number in ends)
        columns = np.arange(len(piece)) if new else np.flatnonzero(piece == newest)
        a, b = places[:, :-1], places[:, 1:]
        gap = ((a + b) / 2)[:, :, None] - view.middles[:, None, columns]
        reach = view.half[columns] + REACH_M + np.abs(b - a)[:, :, None] / 2
        k, p, n = (gap.real**2 + gap.imag**2 < reach**2).nonzero()
        begin, end, fence = a[k, p], b[k, p], columns[n]
        own = np.zeros(len(k), dtype=bool)
        for at, number in ends:
            mine = piece[fence] == number
            if at is not None:
                place = places[k, at]
                mine &= np.minimum(np.abs(begin - place), np.abs(end - place)) < FREE_AFTER
                # What passes the fence at its other end on the way out is not free of it there.
                if len(ends) > 1:
                    mine &= (2 * p < a.shape[1]) == (at == 0)
            own |= mine
        k, begin, end, fence = k[~own], begin[~own], end[~own], fence[~own]
        poles = view.half[fence] * view.along[k, fence]
        metres = segments_apart(begin, end, view.middles[k, fence] - poles, 2 * poles)
        np.minimum.at(self.out, (k, fence), metres)
