"""A body stands at a fixed pose seen from another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Self

from diagram.geometry.dual import towards, wrapped
from diagram.geometry.pose import Pose
from diagram.solver.constraints.rows_of import Numbered, musts
from diagram.solver.constraints.said import Path
from diagram.solver.rows import RowBlock, Trials, body_columns, offsets


@dataclass(frozen=True, slots=True)
class Beyond:
    """`second` stands at a fixed pose seen from `first`."""

    first: int
    second: int
    offset: Pose
    path: Path
    words: str

    @property
    def bodies(self) -> tuple[int, ...]:
        """Numbers of the bodies that it speaks of."""
        return (self.first, self.second)

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        return replace(self, first=numbers[self.first], second=numbers[self.second])

    def mirrored(self, total: float) -> Self:  # noqa: ARG002
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, offset=self.offset.mirrored())


def _rows(some: Numbered[Beyond], trials: Trials) -> list[RowBlock]:
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    x, y, heading, x2, y2, heading2 = trials.locals_of(columns)
    arm, turn = offsets([r.offset for _, r in some])
    stand = x + y * 1j + towards(heading) * arm
    turned = wrapped(heading2 - heading - turn)
    return musts([x2 - stand.real, y2 - stand.imag], columns, list(some), [turned])


CONSTRAINT = (Beyond, _rows)
