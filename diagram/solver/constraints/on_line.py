"""The middle of a body lies on one of some lines."""

from __future__ import annotations

from typing import Self

import numpy as np
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.geometry.dual import sin
from diagram.geometry.pose import Point
from diagram.geometry.region import first_least
from diagram.solver.constraints.rows_of import Numbered, musts
from diagram.solver.constraints.said import OneBody, Path, reflected
from diagram.solver.rows import RowBlock, Trials, body_columns


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
    for along in (False, True):
        alike = [(number, relation) for number, relation in some if relation.along == along]
        if alike:
            out += _of_all(alike, trials, along)
    return out


def _of_all(some: Numbered[OnLine], trials: Trials, along: bool) -> list[RowBlock]:
    """The rows of all bodies that go along their lines, or of all that need not."""
    columns = body_columns([relation.body for _, relation in some])
    x, y, heading = trials.locals_of(columns)
    px, py, way = _lines_of(some)
    cos, sine = np.cos(way), np.sin(way)
    asides = (y.value[..., None] - py) * cos - (x.value[..., None] - px) * sine
    row, which = np.arange(len(some)), first_least(np.abs(asides))
    px, py, way, cos, sine = (part[row, which] for part in (px, py, way, cos, sine))
    aside = (y - py) * cos - (x - px) * sine
    return musts([aside], columns, some, [sin(heading - way)] if along else [])


def _lines_of(some: Numbered[OnLine]) -> tuple[Floats, Floats, Floats]:
    """Places and headings (R, L) of the lines of each relation; fewer have their first again."""
    most = max(len(relation.lines) for _, relation in some)
    rows = [
        [(*at, way) for at, way in (*r.lines, *(most - len(r.lines)) * r.lines[:1])]
        for _, r in some
    ]
    x, y, way = np.moveaxis(np.array(rows), -1, 0)
    return x, y, way


CONSTRAINT = (OnLine, _rows)
