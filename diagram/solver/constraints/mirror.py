"""Two bodies stand as in a mirror."""

from __future__ import annotations

from typing import Self

import numpy as np
from msgspec.structs import replace

from diagram.geometry.dual import sin
from diagram.geometry.pose import Point
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import Path, TwoBodies, reflected
from diagram.solver.rows import RowBlock, Trials, body_columns


class Mirrored(TwoBodies, frozen=True):
    """Each of two bodies stands where the other would be seen in a mirror along a line."""

    point: Point
    heading: float
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, point=reflected(self.point, total), heading=-self.heading)


def _rows(some: Numbered[Mirrored], trials: Trials) -> list[RowBlock]:
    """Reflection in a line: the pose of one, reflected, is that of the other, either way round."""
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    x, y, heading, x2, y2, heading2 = trials.locals_of(columns)
    at, axis = numbers_of([r.point for _, r in some]), numbers_of([r.heading for _, r in some])
    c, s = np.cos(axis), np.sin(axis)
    dx, dy, dx2, dy2 = x - at[:, 0], y - at[:, 1], x2 - at[:, 0], y2 - at[:, 1]
    along = (dx * c + dy * s) - (dx2 * c + dy2 * s)
    across = (dy * c - dx * s) + (dy2 * c - dx2 * s)
    turned = sin(heading + heading2 - 2 * axis)
    return musts([along, across], columns, list(some), [turned])


CONSTRAINT = (Mirrored, _rows)
