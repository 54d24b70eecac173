"""How near fences stand to each other and to the tracks that are not their own.

Only what is near is measured: a gap of `REACH_M` or more counts as `FAR_M`.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Numbers
from diagram.path.room import FREE_AFTER
from diagram.placing.designer.crossing import crossed
from diagram.placing.designer.ground import DesignGround
from diagram.placing.designer.term import FAR_M, Near, Wholes

REACH_M = 4.0
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


def nearness(ground: DesignGround, view: Wholes) -> Near:
    """How near all comes to each fence."""
    return view.near or with_tracks(ground, view, settled(ground, view))


def settled(ground: DesignGround, view: Wholes, newest: int | None = None) -> Near:
    """How near fences and the ways that are as they are come to each fence; of the fences and ways
    of the `newest` piece alone, if that is said. What can be ridden otherwise is left out."""
    ways = _Past.of(view, newest)
    piece = set(view.fence_piece)
    for n, line in enumerate(ground.lines):
        if not line.single and line.piece in piece:
            places = np.stack([view.first[:, n], view.last[:, n]], axis=1)
            ways.seen(places, (None, line.piece))
    bent = [ground.piece_of[b.first.body] for b in ground.bends]
    for n, number in enumerate(number for number in bent if number in piece):
        ways.seen(view.bends[:, n], (None, number))
    for n, number, circle in _opens(ground, piece):
        if circle:
            ways.seen(view.opens[:, n], (0, number))
    nothing = Near.nothing(len(view), len(view.fence_piece))
    return replace(nothing, fences=fences_apart(view, newest), ways=ways.out)


def with_tracks(
    ground: DesignGround, view: Wholes, known: Near, newest: int | None = None
) -> Near:
    """The same with the plain turns, and the straight ways before and after the ride in full."""
    past = _Past.of(view, newest)
    for n, (first, second) in enumerate(standing_turns(ground, set(view.fence_piece))):
        past.seen(view.turns[:, n], (0, first), (-1, second))
    return replace(known, turns=past.out, opens=opens_to_fences(ground, view, newest, np.inf))


def opens_to_fences(
    ground: DesignGround, view: Wholes, newest: int | None, most: float
) -> Floats:
    """For each fence (K, F) metres to the ways before and after the ride, as far as they are
    straight and no further than `most` metres: what lies beyond can be ridden otherwise."""
    past = _Past.of(view, newest)
    for n, number, circle in _opens(ground, set(view.fence_piece)):
        if not circle:
            places = view.opens[:, n, [0, -1]]
            far = np.maximum(np.abs(places[:, 1] - places[:, 0]), 1e-6)
            share = np.minimum(most / far, 1.0)
            places[:, 1] = places[:, 0] + share * (places[:, 1] - places[:, 0])
            past.seen(places, (0, number))
    return past.out


def _opens(ground: DesignGround, pieces: set[int]) -> list[tuple[int, int, bool]]:
    """The ways before and after the ride of pieces that stand: their numbers, their pieces, and
    whether they are circles."""
    ways = [way for way in (ground.start, ground.finish) if way]
    ways = [way for way in ways if ground.piece_of[way.end.body] in pieces]
    return [(n, ground.piece_of[way.end.body], way.circle) for n, way in enumerate(ways)]


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

    @classmethod
    def of(cls, view: Wholes, newest: int | None) -> _Past:
        """Nothing seen yet; of the tracks and fences of the `newest` piece alone, if that is
        said."""
        return cls(view, newest, np.full(view.middles.shape, FAR_M))

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
