"""The heading of a body is given."""

from __future__ import annotations

from typing import Self

import numpy as np
from msgspec.structs import replace

from diagram.geometry.dual import Dual, sin, wrapped
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import OneBody, Path
from diagram.solver.rows import RowBlock, Trials, body_columns


class FacingIs(OneBody, frozen=True):
    """The heading of a body is given; `either` if it may as well face the other way."""

    heading: float
    either: bool
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, heading=-self.heading)


def _rows(some: Numbered[FacingIs], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.body for _, r in some])
    _, _, heading = trials.locals_of(columns)
    off = heading - numbers_of([r.heading for _, r in some])
    either = np.array([r.either for _, r in some])
    whole, half = wrapped(off), sin(off)
    rows = Dual(
        np.where(either, half.value, whole.value),
        np.where(either[:, None], half.slope, whole.slope),
    )
    return musts([], columns, list(some), [rows])


CONSTRAINT = (FacingIs, _rows)
