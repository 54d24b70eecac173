"""Places along the ways from fence to fence, which have to keep clear of rails and fences."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, Numbers
from diagram.geometry.region import first_least
from diagram.solver.relations import Bending, Straight, Turning
from diagram.solver.rows import Ints, RowBlock, Sort, body_columns, offsets, sloped

BETWEEN = 4
"""How finely the way between two places of a track is looked at: a fence end-on is narrow."""


class Whose(Struct, frozen=True):
    """What ways of one sort belong to.

    `columns` (R, q) of the unknowns; `own` (R, 2) the bodies at both ends; `looks_back` whether
    the ways are held against these further on; `about` whether it is an open way, and its number;
    `places` along each; `rail_only` (R,) whether fences do not count on the last piece of a way.
    """

    columns: Ints
    own: Ints
    looks_back: bool
    about: tuple[tuple[int, int], ...]
    places: int
    rail_only: NDArray[np.bool_]


class SeenEnds(Struct, frozen=True):
    """Both ends of ways (S, R), and the second as seen from the first.

    `gap` is the place of the second in the frame of the first: how far ahead, and to the left.
    """

    first: Dual
    facing: Dual
    second: Dual
    gap: Dual
    turn: Dual

    def laid(self, places: Dual) -> Dual:
        """The track through places (S, R, K) in the frames of the first ends, with both ends."""
        between = self.first.spread() + self.facing.spread() * places
        parts = self.first.spread(), between, self.second.spread()
        return Dual(
            np.concatenate([part.value for part in parts], axis=-1),
            np.concatenate([part.slope for part in parts], axis=-2),
        )


class Some(Struct, frozen=True):
    """Some ways of one sort, by their numbers `which`, made ready for rows of theirs."""

    which: Ints
    every: bool
    columns: Ints
    about: tuple[tuple[int, ...], ...]

    def rows(self, sort: Sort, what: str, row: Dual, scale: float | None = None) -> list[RowBlock]:
        """A block of the rows of these ways, of a row (S, R) for each; none if there are none."""
        if not len(self.which):
            return []
        if not self.every:
            row = Dual(row.value[:, self.which], row.slope[:, self.which])
        return [RowBlock(sort, what, row.value, row.slope, self.columns, self.about, scale)]


class Ends(Struct, frozen=True):
    """Both ends of ways of one sort: columns (R, q) and poses in their bodies."""

    numbers: tuple[int, ...]
    columns: Ints
    first: tuple[Numbers, Floats]
    second: tuple[Numbers, Floats]
    own: Ints

    @classmethod
    def of(
        cls,
        some: Sequence[tuple[int, Straight | Bending | Turning]],
        extra: Sequence[Sequence[int]] = (),
    ) -> Ends:
        """Of some numbered relations, with the columns of their extra unknowns."""
        bodies = [r.first.body for _, r in some], [r.second.body for _, r in some]
        return cls(
            tuple(n for n, _ in some),
            body_columns(*bodies, extra=extra),
            offsets([r.first.pose for _, r in some]),
            offsets([r.second.pose for _, r in some]),
            np.array(bodies).T,
        )

    def seen(self, values: Floats, width: int) -> SeenEnds:
        """Ends of ways whose bodies have unknowns `values` (S, R, q).

        The slopes, by `width` variables, are written out by hand: this is worked out more often
        than anything else.
        """
        (arms, turn), (other_arms, other_turn) = self.first, self.second
        place, other_place = (values[..., n] + 1j * values[..., n + 1] for n in (0, 3))
        heading, other_heading = values[..., 2] + turn, values[..., 5] + other_turn
        facing = np.exp(1j * heading)
        arm = np.exp(1j * values[..., 2]) * arms
        other_arm = np.exp(1j * values[..., 5]) * other_arms
        first, second = place + arm, other_place + other_arm
        back = facing.conj()
        gap = (second - first) * back
        return SeenEnds(
            sloped(first, width, 1, 1j, 1j * arm),
            sloped(facing, width, 1j * facing, first=2),
            sloped(second, width, 1, 1j, 1j * other_arm, first=3),
            sloped(
                gap, width, -back, -1j * back, -1j * (arm * back + gap),
                back, 1j * back, 1j * other_arm * back,
            ),
            sloped(other_heading - heading, width, -1.0, 0.0, 0.0, 1.0, first=2),
        )  # fmt: skip

    def whose(self, looks_back: bool, places: int) -> Whose:
        """What their tracks belong to."""
        about = tuple((0, n) for n in self.numbers)
        nowhere = np.zeros(len(self.own), dtype=bool)
        return Whose(self.columns, self.own, looks_back, about, places, nowhere)

    def some(self, wanted: Sequence[bool]) -> Some:
        """Those of the ways that are wanted."""
        which = np.array(wanted).nonzero()[0]
        about = tuple((self.numbers[i],) for i in which)
        return Some(which, len(which) == len(wanted), self.columns[which], about)


class Spots(Struct, frozen=True):
    """Places looked at along all ways, one way after another (P of them).

    `sorts` holds for ways of each sort their number and the places on each; `way` (P,) the number
    of the way that a place is on, `first` and `last` (P,) those of its first and last place, and
    `at_last` (P,) whether it is on the last piece of its way, beyond the last place but one.
    """

    sorts: tuple[tuple[int, int], ...]
    way: Ints
    first: Ints
    last: Ints
    at_last: NDArray[np.bool_]

    @classmethod
    def of(cls, sorts: Sequence[tuple[int, int]], between: int) -> Spots:
        """So many ways with so many places each, and in each piece `between` places."""
        finer = [(rows, (places - 1) * between + 1) for rows, places in sorts]
        counts = np.concatenate([np.full(rows, places) for rows, places in finer])
        way = np.repeat(np.arange(len(counts)), counts)
        ends = np.cumsum(counts)
        last = ends[way] - 1
        at_last = last - np.arange(len(way)) < between
        return cls(tuple(finer), way, (ends - counts)[way], last, at_last)

    def nearest(self, distance: Floats) -> Ints:
        """Number (..., R) of the place on each way with the least of some distances (..., P)."""
        found, at = [], 0
        for rows, places in self.sorts:
            own = distance[..., at : at + rows * places]
            least = first_least(own.reshape(*own.shape[:-1], rows, places))
            found.append(least + np.arange(at, at + rows * places, places))
            at += rows * places
        return np.concatenate(found, axis=-1)


class Paths(Struct, frozen=True):
    """All ways of a problem, one after another.

    `columns` (R, q) of the unknowns are filled up with that of no unknown (the last). `given` are
    the places that the ways give, `close` more of them: each a `share` of the way from the one
    `before` it to the one `after`.
    """

    columns: Ints
    own: Ints
    looks_back: NDArray[np.bool_]
    rail_only: NDArray[np.bool_]
    about: tuple[tuple[int, int], ...]
    given: Spots
    close: Spots
    before: Ints
    after: Ints
    share: Floats

    @classmethod
    def of(cls, sorts: Sequence[Whose]) -> Paths:
        """The ways of all sorts."""
        width = max(sort.columns.shape[1] for sort in sorts)
        columns = [
            np.pad(s.columns, ((0, 0), (0, width - s.columns.shape[1])), constant_values=-1)
            for s in sorts
        ]
        counts = [(len(sort.own), sort.places) for sort in sorts]
        given, close = Spots.of(counts, 1), Spots.of(counts, BETWEEN)
        step = np.arange(len(close.way)) - close.first
        before = np.unique(given.first)[close.way] + step // BETWEEN
        return cls(
            np.concatenate(columns),
            np.concatenate([sort.own for sort in sorts]),
            np.array([sort.looks_back for sort in sorts for _ in sort.own]),
            np.concatenate([sort.rail_only for sort in sorts]),
            tuple(about for sort in sorts for about in sort.about),
            given,
            close,
            before,
            before + (step % BETWEEN > 0),
            step % BETWEEN / BETWEEN,
        )

    def joined(self, tracks: Sequence[Dual]) -> Dual:
        """Tracks (S, R, K) of every sort as one (S, P)."""
        trials = len(tracks[0].value)
        value = np.concatenate([t.value.reshape(trials, -1) for t in tracks], axis=1)
        if not tracks[0].slope.shape[-1]:
            return Dual(value, np.zeros((*value.shape, 0)))
        slope = np.zeros((*value.shape, self.columns.shape[1]), dtype=np.complex128)
        at = 0
        for track in tracks:
            *_, rows, places, width = track.slope.shape
            flat = track.slope.reshape(trials, rows * places, width)
            slope[:, at : at + rows * places, :width] = flat
            at += rows * places
        return Dual(value, slope)

    def closely(self, places: Numbers) -> Numbers:
        """More places put evenly between those given (S, P)."""
        start = places[:, self.before]
        dense: Numbers = start + (places[:, self.after] - start) * self.share
        return dense
