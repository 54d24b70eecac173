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
from diagram.solver.rows import Ints

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
    piece = set(view.fence_piece)
    ways = [
        _Track(np.stack([view.first[:, n], view.last[:, n]], axis=1), ((None, line.piece),))
        for n, line in enumerate(ground.lines) if not line.single and line.piece in piece
    ]  # fmt: skip
    bent = [ground.piece_of[b.first.body] for b in ground.bends]
    for n, number in enumerate(number for number in bent if number in piece):
        ways.append(_Track(view.bends[:, n], ((None, number),)))
    for n, number, circle in _opens(ground, piece):
        if circle:
            ways.append(_Track(view.opens[:, n], ((0, number),)))
    nothing = Near.nothing(len(view), len(view.fence_piece))
    near = tracks_to_fences(view, newest, ways)
    return replace(nothing, fences=fences_apart(view, newest), ways=near)


def with_tracks(ground: DesignGround, view: Wholes, known: Near, newest: int | None = None) -> Near:
    """The same with the plain turns, and the straight ways before and after the ride in full."""
    ways = standing_turns(ground, set(view.fence_piece))
    turns = [
        _Track(view.turns[:, n], ((0, first), (-1, second)))
        for n, (first, second) in enumerate(ways)
    ]
    near = tracks_to_fences(view, newest, turns)
    return replace(known, turns=near, opens=opens_to_fences(ground, view, newest, np.inf))


def opens_to_fences(ground: DesignGround, view: Wholes, newest: int | None, most: float) -> Floats:
    """For each fence (K, F) metres to the ways before and after the ride, as far as they are
    straight and no further than `most` metres: what lies beyond can be ridden otherwise."""
    ways = []
    for n, number, circle in _opens(ground, set(view.fence_piece)):
        if not circle:
            places = view.opens[:, n, [0, -1]]
            far = np.maximum(np.abs(places[:, 1] - places[:, 0]), 1e-6)
            share = np.minimum(most / far, 1.0)
            places[:, 1] = places[:, 0] + share * (places[:, 1] - places[:, 0])
            ways.append(_Track(places, ((0, number),)))
    return tracks_to_fences(view, newest, ways)


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


class _Track(Struct, frozen=True):
    """A track through places (K, P): near its ends, or all along, free of their fences.

    Each end is the number of a place, 0 or -1, or None for all along, and the piece that is there.
    """

    places: Numbers
    ends: tuple[tuple[int | None, int], ...]

    @property
    def pieces(self) -> set[int]:
        """Those at its ends."""
        return {number for _, number in self.ends}


def tracks_to_fences(view: Wholes, newest: int | None, tracks: list[_Track]) -> Floats:
    """For each fence (K, F) metres to the nearest of some tracks that does not begin or end at it;
    of the tracks and the fences of the `newest` piece alone, if that is said."""
    piece = np.array(view.fence_piece)
    past = _Past(view, np.full(view.middles.shape, FAR_M))
    for track in tracks:
        if newest is None or newest in track.pieces:
            past.seen(track)
    old = [track.places for track in tracks if newest is not None and newest not in track.pieces]
    if old:
        begin = np.concatenate([places[:, :-1] for places in old], axis=1)
        end = np.concatenate([places[:, 1:] for places in old], axis=1)
        columns = np.flatnonzero(piece == newest)
        past.told(begin, end, columns, past.near(begin, end, columns))
    return past.out


class _Past(Struct, frozen=True):
    """Tracks past fences: `out` (K, F) is the least gap seen."""

    view: Wholes
    out: Floats

    def seen(self, track: _Track) -> None:
        """A track past all fences but its own."""
        piece, places = np.array(self.view.fence_piece), track.places
        begin, end = places[:, :-1], places[:, 1:]
        along = {number for at, number in track.ends if at is None}
        columns = np.flatnonzero([number not in along for number in piece])
        k, p, n = self.near(begin, end, columns)
        own = np.zeros(len(k), dtype=bool)
        for at, number in track.ends:
            if at is None:
                continue
            mine = piece[columns[n]] == number
            place = places[k, at]
            mine &= np.minimum(np.abs(begin[k, p] - place), np.abs(end[k, p] - place)) < FREE_AFTER
            # What passes the fence at its other end on the way out is not free of it there.
            if len(track.ends) > 1:
                mine &= (2 * p < begin.shape[1]) == (at == 0)
            own |= mine
        self.told(begin, end, columns, (k[~own], p[~own], n[~own]))

    def near(self, begin: Numbers, end: Numbers, columns: Ints) -> tuple[Ints, Ints, Ints]:
        """Which pieces of track (K, P) come near which fences: numbers of arrangements, pieces and
        places among the `columns`."""
        middle, fence = (begin + end) / 2, self.view.middles[:, columns]
        # In place: these are the largest numbers of numbers that a beam has.
        gap = middle.real[:, :, None] - fence.real[:, None]
        gap *= gap
        across = middle.imag[:, :, None] - fence.imag[:, None]
        across *= across
        gap += across
        reach = np.abs(end - begin)[:, :, None] / 2 + (self.view.half[columns] + REACH_M)
        reach *= reach
        k, p, n = (gap < reach).nonzero()
        return k, p, n

    def told(
        self, begin: Numbers, end: Numbers, columns: Ints, near: tuple[Ints, Ints, Ints]
    ) -> None:
        """The gaps of those that are near."""
        k, p, n = near
        fence = columns[n]
        poles = self.view.half[fence] * self.view.along[k, fence]
        pole = self.view.middles[k, fence] - poles
        metres = segments_apart(begin[k, p], end[k, p], pole, 2 * poles)
        np.minimum.at(self.out, (k, fence), metres)
