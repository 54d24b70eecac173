"""The headings of two bodies differ by an angle."""

from __future__ import annotations

from typing import Self

from msgspec.structs import replace

from diagram.geometry.dual import sin
from diagram.solver.constraints.rows_of import Numbered, musts, numbers_of
from diagram.solver.constraints.said import Path, TwoBodies
from diagram.solver.rows import RowBlock, Trials, body_columns


class Angled(TwoBodies, frozen=True):
    """Two bodies whose headings differ by `turn`, or by that and half a turn."""

    turn: float
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, turn=-self.turn)


def _rows(some: Numbered[Angled], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    _, _, heading, _, _, heading2 = trials.locals_of(columns)
    off = heading2 - heading - numbers_of([r.turn for _, r in some])
    return musts([], columns, list(some), [sin(off)])


CONSTRAINT = (Angled, _rows)
