"""Rows of the layout's equations, for many trial arrangements at once.

An arrangement is a row of unknowns: x, y and heading of every body, then the unknowns that
single curves bring (the radius of a bend, the straights of a turn). `Columns` says which unknown
stands where; a `Block` holds rows of one sort with their slopes by the few unknowns that each
touches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, cos, sin
from diagram.geometry.pose import Pose

Ints = NDArray[np.int64]
Sort = Literal["must", "limit", "wish"]

LEVER_M = 10.0
"""Metres. A heading that is wrong by an angle counts as wrong by so much at this distance:
half a degree is then 9 cm."""


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of one sort. `value` (S, R), `slope` (S, R, q), `columns` (R, q) of unknowns.

    Without columns the slopes are by all unknowns in order.

    A *must* is an equation, zero when it holds. A *limit* holds from zero up; with a `scale` in
    metres more of it is better. A *wish* is better the nearer to zero. `what` and `about` (one
    tuple of numbers for each row) say what the rows are about.
    """

    sort: Sort
    what: str
    value: Floats
    slope: Floats
    columns: Ints | None
    about: tuple[tuple[int, ...], ...]
    scale: float | None = None


def block(
    sort: Sort,
    what: str,
    rows: Dual,
    columns: Ints,
    about: Sequence[tuple[int, ...]],
    scale: float | None = None,
) -> Block:
    """A block of the rows (S, R) of a dual."""
    return Block(sort, what, rows.value, rows.slope, columns, tuple(about), scale)


def body_columns(*bodies: Sequence[int] | Ints, extra: Sequence[Sequence[int]] = ()) -> Ints:
    """Columns (R, q): three for each of the lists of body numbers, then the extra ones."""
    parts = [np.asarray(numbers, dtype=np.int64)[:, None] * 3 + np.arange(3) for numbers in bodies]
    parts += [np.asarray(numbers, dtype=np.int64)[:, None] for numbers in extra]
    return np.concatenate(parts, axis=1)


@dataclass(frozen=True, slots=True)
class Trials:
    """Trial arrangements (S, n + 1), the last column a zero for unknowns that are not there.

    Without `sloped` only values are worked out, which is enough to tell good from bad.
    """

    unknowns: Floats
    sloped: bool = True

    def __len__(self) -> int:
        return len(self.unknowns)

    @classmethod
    def of(cls, unknowns: Floats, sloped: bool = True) -> Trials:
        """Trials of unknowns (S, n)."""
        return cls(np.concatenate([unknowns, np.zeros((len(unknowns), 1))], axis=1), sloped)

    def locals_of(self, columns: Ints) -> tuple[Dual, ...]:
        """The unknowns (S, R) in each of the columns as variables."""
        values = self.unknowns[:, columns]
        return tuple(self.variable(values, q) for q in range(values.shape[-1]))

    def width(self, columns: Ints) -> int:
        """Number of slopes that rows with these columns have."""
        return columns.shape[1] if self.sloped else 0

    def variable(self, values: Floats, q: int) -> Dual:
        """Entry `q` of the last axis of `values` (S, R, n) as the variable of that number."""
        slope = np.zeros((*values.shape[:-1], values.shape[-1] if self.sloped else 0))
        if self.sloped:
            slope[..., q] = 1.0
        return Dual(values[..., q], slope)


@dataclass(frozen=True, slots=True)
class Frame:
    """A pose of duals, with the cosine and sine of its heading."""

    x: Dual
    y: Dual
    heading: Dual
    cosine: Dual
    sine: Dual

    @classmethod
    def of(cls, x: Dual, y: Dual, heading: Dual) -> Frame:
        """A frame at a pose."""
        return cls(x, y, heading, cos(heading), sin(heading))

    def placed(self, offset: Floats) -> Frame:
        """The pose that lies at `offset` (R, 3) in this frame."""
        dx, dy, turn = offset[..., 0], offset[..., 1], offset[..., 2]
        x = self.x + self.cosine * dx - self.sine * dy
        y = self.y + self.sine * dx + self.cosine * dy
        c, s = np.cos(turn), np.sin(turn)
        cosine, sine = self.cosine * c - self.sine * s, self.sine * c + self.cosine * s
        return Frame(x, y, self.heading + turn, cosine, sine)

    def seen(self, x: Dual, y: Dual) -> tuple[Dual, Dual]:
        """A point in this frame: ahead, and to the left."""
        dx, dy = x - self.x, y - self.y
        return self.cosine * dx + self.sine * dy, self.cosine * dy - self.sine * dx

    def world(self, ahead: Dual, left: Dual) -> tuple[Dual, Dual]:
        """Places (S, R, K) in these frames (S, R) as places in the arena."""
        c, s = self.cosine.spread(), self.sine.spread()
        x = self.x.spread() + c * ahead - s * left
        return x, self.y.spread() + s * ahead + c * left


def offsets(poses: Sequence[Pose]) -> Floats:
    """Poses as an array (R, 3)."""
    return np.array([(p.x, p.y, p.heading) for p in poses]).reshape(-1, 3)
