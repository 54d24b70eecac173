"""The middle of a body is given."""

from __future__ import annotations

from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import BodyAndPoint
from diagram.solver.rows import RowBlock, Trials, body_columns


class PlaceIs(BodyAndPoint, frozen=True):
    """The middle of a body is given."""


def _rows(some: Numbered[PlaceIs], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.body for _, r in some])
    x, y, _ = trials.locals_of(columns)
    at = numbers_of([r.point for _, r in some])
    return musts([x - at[:, 0], y - at[:, 1]], columns, list(some))


CONSTRAINT = (PlaceIs, _rows)
