"""What every constraint knows of the file, of its bodies and of mirrors."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Self

from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.pose import Point

Path = tuple[str | int, ...]


class OneBody(Struct, frozen=True):
    """A constraint on one body, known by its number."""

    body: int

    @property
    def bodies(self) -> tuple[int, ...]:
        """Numbers of the bodies that it speaks of."""
        return (self.body,)

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        return replace(self, body=numbers[self.body])


class BodyAndPoint(OneBody, frozen=True):
    """A constraint between a body and a point of the arena."""

    point: Point
    path: Path
    words: str

    def mirrored(self, total: float) -> Self:
        """As it is seen in a mirror, heights `total` with their own."""
        return replace(self, point=reflected(self.point, total))


class TwoBodies(Struct, frozen=True):
    """A constraint between two bodies, known by their numbers."""

    first: int
    second: int

    @property
    def bodies(self) -> tuple[int, ...]:
        """Numbers of the bodies that it speaks of."""
        return (self.first, self.second)

    def renumbered(self, numbers: Mapping[int, int]) -> Self:
        """With other numbers for its bodies."""
        return replace(self, first=numbers[self.first], second=numbers[self.second])


def reflected(at: Point, total: float) -> Point:
    """A point in the mirror half way up, `total` metres being its height and that of its image."""
    return at[0], total - at[1]
