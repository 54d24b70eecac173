"""The middle of a body is given."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Self

from diagram.geometry.pose import Point
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import OneBody, Path, reflected
from diagram.solver.rows import RowBlock, Trials, body_columns


@dataclass(frozen=True, slots=True)
class PlaceIs(OneBody):
    """The middle of a body is given."""

    point: Point
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, point=reflected(self.point, total))


def _rows(some: Numbered[PlaceIs], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.body for _, r in some])
    x, y, _ = trials.locals_of(columns)
    at = numbers_of([r.point for _, r in some])
    return musts([x - at[:, 0], y - at[:, 1]], columns, list(some))


CONSTRAINT = (PlaceIs, _rows)
