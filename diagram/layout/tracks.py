"""Places along the ways from fence to fence, which have to keep clear of rails and fences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual
from diagram.layout.relations import Bending, Straight, Turning
from diagram.layout.rows import Frame, Ints, body_columns, offsets


@dataclass(frozen=True, slots=True)
class Whose:
    """What the rows of a track belong to.

    `columns` (R, q) of the unknowns; `own` (R, 2) the bodies at both ends; `looks_back` (R,)
    whether a way is held against these further on; `about` whether it is an open way, and its
    number.
    """

    columns: Ints
    own: Ints
    looks_back: NDArray[np.bool_]
    about: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Track:
    """Places along ways: duals (S, R, K)."""

    x: Dual
    y: Dual


@dataclass(frozen=True, slots=True)
class Ends:
    """Both ends of ways of one sort: columns (R, q) and poses in their bodies (R, 3)."""

    numbers: tuple[int, ...]
    columns: Ints
    first: Floats
    second: Floats
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

    def seen(self, values: Floats, width: int) -> tuple[Frame, Dual, Dual, Dual]:
        """Frames of the first ends; place and heading of the second ends seen from there.

        `values` (S, R, q) are the unknowns of both bodies. The slopes, by `width` variables, are
        written out by hand: this is worked out more often than anything else.
        """
        x1, y1, h1, x2, y2, h2 = np.moveaxis(values[..., :6], -1, 0)
        px, py, a1 = _carried(x1, y1, h1, self.first)
        qx, qy, a2 = _carried(x2, y2, h2, self.second)
        c, s = np.cos(a1), np.sin(a1)
        dx, dy = qx - px, qy - py
        ahead, left = c * dx + s * dy, c * dy - s * dx

        def dual(value: Floats, *slopes: Floats | float) -> Dual:
            """A value with its slopes by x, y and heading of the first body, then the second."""
            slope = np.zeros((*value.shape, width))
            for q, part in enumerate(slopes[:width]):
                slope[..., q] = part
            return Dual(value, slope)

        # How both ends move as their bodies turn on the spot.
        ux, uy, vx, vy = y1 - py, px - x1, y2 - qy, qx - x2
        frame = Frame(
            dual(px, 1.0, 0.0, ux), dual(py, 0.0, 1.0, uy), dual(a1, 0.0, 0.0, 1.0),
            dual(c, 0.0, 0.0, -s), dual(s, 0.0, 0.0, c),
        )  # fmt: skip
        seen_ahead = dual(ahead, -c, -s, left - c * ux - s * uy, c, s, c * vx + s * vy)
        seen_left = dual(left, s, -c, -ahead - c * uy + s * ux, -s, c, c * vy - s * vx)
        return frame, seen_ahead, seen_left, dual(a2 - a1, 0.0, 0.0, -1.0, 0.0, 0.0, 1.0)

    def whose(self, looks_back: bool) -> Whose:
        """The rows of their tracks."""
        back = np.full(len(self.numbers), looks_back)
        return Whose(self.columns, self.own, back, tuple((0, n) for n in self.numbers))

    def about(self, chosen: Sequence[int]) -> tuple[tuple[int, ...], ...]:
        """Numbers of some of the relations."""
        return tuple((self.numbers[i],) for i in chosen)


def _carried(x: Floats, y: Floats, heading: Floats, offset: Floats) -> tuple[Floats, ...]:
    """Poses at offsets (R, 3) in bodies at poses (S, R)."""
    c, s = np.cos(heading), np.sin(heading)
    dx, dy, turn = offset[:, 0], offset[:, 1], offset[:, 2]
    return x + c * dx - s * dy, y + s * dx + c * dy, heading + turn


def joined_owners(owners: Sequence[Whose]) -> Whose:
    """All rows in one, columns filled up with that of no unknown (the last)."""
    width = max(o.columns.shape[1] for o in owners)
    columns = [
        np.pad(o.columns, ((0, 0), (0, width - o.columns.shape[1])), constant_values=-1)
        for o in owners
    ]
    return Whose(
        np.concatenate(columns),
        np.concatenate([o.own for o in owners]),
        np.concatenate([o.looks_back for o in owners]),
        tuple(about for o in owners for about in o.about),
    )


def joined(tracks: Sequence[Track]) -> Track:
    """All tracks in one: the shorter ones repeat their last place."""
    places = max(t.x.value.shape[2] for t in tracks)
    return Track(_all([t.x for t in tracks], places), _all([t.y for t in tracks], places))


def _all(duals: Sequence[Dual], places: int) -> Dual:
    rows = [dual.value.shape[1] for dual in duals]
    trials = len(duals[0].value)
    width = max(dual.slope.shape[-1] for dual in duals)
    value = np.empty((trials, sum(rows), places))
    slope = np.zeros((trials, sum(rows), places, width))
    at = 0
    for dual, count in zip(duals, rows, strict=True):
        own, q = dual.value.shape[2], dual.slope.shape[-1]
        value[:, at : at + count, :own] = dual.value
        value[:, at : at + count, own:] = dual.value[:, :, -1:]
        slope[:, at : at + count, :own, :q] = dual.slope
        slope[:, at : at + count, own:, :q] = dual.slope[:, :, -1:]
        at += count
    return Dual(value, slope)


def pick(rows: Dual, chosen: Sequence[int]) -> Dual:
    """Some of the rows (S, R) of a dual."""
    if len(chosen) == rows.value.shape[1]:
        return rows
    return Dual(rows.value[:, chosen], rows.slope[:, chosen])


def one_after_another(*parts: Dual) -> Dual:
    """Places along ways (S, R, K), those of one part after those of the other."""
    return Dual(
        np.concatenate([part.value for part in parts], axis=-1),
        np.concatenate([part.slope for part in parts], axis=-2),
    )
