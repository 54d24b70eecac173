"""A body stands at a fixed pose seen from another."""

from __future__ import annotations

from typing import Self

from msgspec.structs import replace

from diagram.geometry.dual import towards, wrapped
from diagram.geometry.pose import Pose
from diagram.solver.constraints.rows_of import Numbered, musts
from diagram.solver.constraints.said import Path, TwoBodies
from diagram.solver.rows import RowBlock, Trials, body_columns, offsets


class Beyond(TwoBodies, frozen=True):
    """`second` stands at a fixed pose seen from `first`."""

    offset: Pose
    path: Path
    words: str

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
