"""The middle of a body lies on one of some lines."""

from __future__ import annotations

import math
from typing import Self

import numpy as np
from msgspec.structs import replace

from diagram.geometry.dual import Dual, sin
from diagram.geometry.pose import Point
from diagram.geometry.region import first_least
from diagram.solver.constraints.rows_of import Numbered, musts
from diagram.solver.constraints.said import OneBody, Path, reflected
from diagram.solver.rows import Ints, RowBlock, Trials, body_columns


class OnLine(OneBody, frozen=True):
    """The middle of a body lies on one of some straight lines, each a point and a heading.

    With `along` the body is jumped along the line, one way or the other.
    """

    lines: tuple[tuple[Point, float], ...]
    along: bool
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(
            self, lines=tuple((reflected(at, total), -along) for at, along in self.lines)
        )


def _rows(some: Numbered[OnLine], trials: Trials) -> list[RowBlock]:
    """The nearest of the lines counts, in each trial."""
    out: list[RowBlock] = []
    for number, relation in some:
        columns = body_columns([relation.body])
        x, y, heading = trials.locals_of(columns)
        asides = [
            (y - py) * math.cos(along) - (x - px) * math.sin(along)
            for (px, py), along in relation.lines
        ]
        which = first_least(np.abs(np.stack([aside.value for aside in asides], axis=-1)))
        turned = [sin(heading - along) for _, along in relation.lines]
        angles = [_of_line(turned, which)] if relation.along else []
        out += musts([_of_line(asides, which)], columns, [(number, relation)], angles)
    return out


def _of_line(rows: list[Dual], which: Ints) -> Dual:
    value = np.take_along_axis(np.stack([row.value for row in rows]), which[None], 0)[0]
    slope = np.take_along_axis(np.stack([row.slope for row in rows]), which[None, ..., None], 0)[0]
    return Dual(value, slope)


CONSTRAINT = (OnLine, _rows)
