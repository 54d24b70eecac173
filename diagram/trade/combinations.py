"""How far apart the parts of a combination may stand, as bodies rule it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from diagram.trade.sheet import Listed, MetreRange, Sheet, load
from diagram.trade.words import Size

For = Literal["horse", "pony", "any"]


class CombinationLimit(Sheet):
    """What one body allows: distances in metres, each from shortest to longest."""

    body: str = Field(alias="name")
    distances: tuple[MetreRange, ...]
    horses: For
    source: str
    note: str = ""

    def allows(self, distance_m: float) -> bool:
        """Whether a distance lies within one of the allowed ones, to the centimetre."""
        near = 0.005
        return any(low - near <= distance_m <= high + near for low, high in self.distances)


class _Combinations(Sheet):
    limits: Annotated[tuple[CombinationLimit, ...], Listed]


def combination_limits(size: Size) -> tuple[CombinationLimit, ...]:
    """The limits that hold for horses or ponies of a size."""
    kind: For = "horse" if size == "horse" else "pony"
    limits = load("combinations", _Combinations).limits
    return tuple(limit for limit in limits if limit.horses in (kind, "any"))
