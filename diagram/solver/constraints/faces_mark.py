"""A body faces a point."""

from __future__ import annotations

from diagram.geometry.dual import atan2, wrapped
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import BodyAndPoint
from diagram.solver.rows import RowBlock, Trials, body_columns


class FacesMark(BodyAndPoint, frozen=True):
    """A body faces a point."""


def _rows(some: Numbered[FacesMark], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.body for _, r in some])
    x, y, heading = trials.locals_of(columns)
    at = numbers_of([r.point for _, r in some])
    towards = atan2(-y + at[:, 1], -x + at[:, 0])
    return musts([], columns, list(some), [wrapped(heading - towards)])


CONSTRAINT = (FacesMark, _rows)
