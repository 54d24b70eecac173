"""Rows of the layout's equations, for many trial arrangements at once.

An arrangement is a row of unknowns: x, y and heading of every body, then the unknowns that
single curves bring (the radius of a bend, the straights of a turn). `Columns` says which unknown
stands where; a `RowBlock` holds rows of one sort with their slopes by the few unknowns that each
touches. Places are complex numbers x + iy.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, Numbers
from diagram.geometry.pose import Pose

Ints = NDArray[np.int64]
Sort = Literal["must", "limit", "wish"]

LEVER_M = 10.0
"""Metres. A heading that is wrong by an angle counts as wrong by so much at this distance:
half a degree is then 9 cm."""


class RowBlock(Struct, frozen=True):
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
) -> RowBlock:
    """A block of the rows (S, R) of a dual."""
    return RowBlock(sort, what, rows.value, rows.slope, columns, tuple(about), scale)


def body_columns(*bodies: Sequence[int] | Ints, extra: Sequence[Sequence[int]] = ()) -> Ints:
    """Columns (R, q): three for each of the lists of body numbers, then the extra ones."""
    parts = [np.asarray(numbers, dtype=np.int64)[:, None] * 3 + np.arange(3) for numbers in bodies]
    parts += [np.asarray(numbers, dtype=np.int64)[:, None] for numbers in extra]
    return np.concatenate(parts, axis=1)


class Trials(Struct, frozen=True):
    """Trial arrangements (S, n + 1), the last column a zero for unknowns that are not there.

    Without `sloped` only values are worked out, which is enough to tell good from bad. Without
    `fine` ways are looked at in fewer places, which is enough to tell good from hopeless.
    """

    unknowns: Floats
    sloped: bool = True
    fine: bool = True

    def __len__(self) -> int:
        return len(self.unknowns)

    @classmethod
    def of(cls, unknowns: Floats, sloped: bool = True, fine: bool = True) -> Trials:
        """Trials of unknowns (S, n)."""
        return cls(np.concatenate([unknowns, np.zeros((len(unknowns), 1))], axis=1), sloped, fine)

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


def sloped(value: Numbers, width: int, *slopes: Numbers | complex, first: int = 0) -> Dual:
    """A value (S, R) with `width` slopes, of which those from `first` on are given, others zero.

    With no width there are none: then the slopes are not looked at.
    """
    slope = np.zeros((*value.shape, width), dtype=np.result_type(value, *slopes))
    if width:
        for q, part in enumerate(slopes, first):
            slope[..., q] = part
    return Dual(value, slope)


def offsets(poses: Sequence[Pose]) -> tuple[Numbers, Floats]:
    """Places (R,) and headings (R,) of poses."""
    places = np.array([complex(p.x, p.y) for p in poses], dtype=np.complex128)
    return places, np.array([p.heading for p in poses], dtype=np.float64)


def along_slope(direction: Numbers, arm: Numbers) -> Floats:
    """Slopes (..., 3) by x, y and heading of a pose of how far, in a unit `direction`, a place
    moves that is carried at `arm` from it."""
    turning = direction.imag * arm.real - direction.real * arm.imag
    return np.stack([direction.real, direction.imag, turning], axis=-1)
