"""A body faces a point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Self

from diagram.geometry.dual import atan2, wrapped
from diagram.geometry.pose import Point
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import Path, reflected
from diagram.solver.rows import RowBlock, Trials, body_columns


@dataclass(frozen=True, slots=True)
class FacesMark:
    """A body faces a point."""

    body: int
    point: Point
    path: Path
    words: str

    @property
    def bodies(self) -> tuple[int, ...]:
        """Numbers of the bodies that it speaks of."""
        return (self.body,)

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        return replace(self, body=numbers[self.body])

    def mirrored(self, total: float) -> Self:
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, point=reflected(self.point, total))


def _rows(some: Numbered[FacesMark], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.body for _, r in some])
    x, y, heading = trials.locals_of(columns)
    at = numbers_of([r.point for _, r in some])
    towards = atan2(-y + at[:, 1], -x + at[:, 0])
    return musts([], columns, list(some), [wrapped(heading - towards)])


CONSTRAINT = (FacesMark, _rows)
