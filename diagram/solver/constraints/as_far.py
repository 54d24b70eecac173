"""Two pairs of bodies stand equally far apart."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Self

from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.dual import hypot
from diagram.solver.constraints.rows_of import Numbered, musts
from diagram.solver.constraints.said import Path
from diagram.solver.rows import RowBlock, Trials, body_columns


class AsFar(Struct, frozen=True):
    """Two pairs of bodies stand equally far apart, middle to middle."""

    bodies: tuple[int, int, int, int]
    path: Path
    words: str

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        a, b, c, d = (numbers[body] for body in self.bodies)
        return replace(self, bodies=(a, b, c, d))

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror: the same."""
        return self


def _rows(some: Numbered[AsFar], trials: Trials) -> list[RowBlock]:
    columns = body_columns(*([r.bodies[i] for _, r in some] for i in range(4)))
    ax, ay, _, bx, by, _, cx, cy, _, dx, dy, _ = trials.locals_of(columns)
    return musts([hypot(bx - ax, by - ay) - hypot(dx - cx, dy - cy)], columns, list(some))


CONSTRAINT = (AsFar, _rows)
