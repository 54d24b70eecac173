"""From ground metres to paper millimetres, at one stated scale."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point

SCALES = (
    50, 75, 100, 125, 150, 175, 200, 225, 250, 275, 300, 325, 350, 400, 450, 500,
    600, 750, 1000, 1250, 1500, 2000, 2500, 3000, 4000,
)  # fmt: skip
"""Scales a drawing may have: a ruler's millimetres turn into metres in the head."""


class Frame(Struct, frozen=True):
    """A map from the arena's frame onto the paper. `left` and `bottom` are where (0, 0) falls,
    in mm from the left and the top of the drawing.

    `turned` lays the arena's x axis upwards on the paper, for paper that is higher than wide.
    """

    denominator: float
    left: float
    bottom: float
    turned: bool = False

    @property
    def mm_per_m(self) -> float:
        """Millimetres on paper for a metre on the ground."""
        return 1000 / self.denominator

    def at(self, point: Point) -> Point:
        """A place on the ground as a place on the paper. y on paper runs down."""
        k = self.mm_per_m
        if self.turned:
            return (self.left - point[1] * k, self.bottom - point[0] * k)
        return (self.left + point[0] * k, self.bottom - point[1] * k)

    def many(self, points: Iterable[Point] | Floats) -> tuple[Point, ...]:
        """Several places at once."""
        return tuple(self.at((float(x), float(y))) for x, y in points)

    def direction(self, heading: float) -> Point:
        """The unit vector on paper of a heading on the ground; y down."""
        if self.turned:
            return (-math.sin(heading), -math.cos(heading))
        return (math.cos(heading), -math.sin(heading))

    def across(self, heading: float) -> Point:
        """The unit vector on paper to the left of a heading."""
        return self.direction(heading + math.pi / 2)

    def mm(self, metres: float) -> float:
        """A length on the ground as a length on the paper."""
        return metres * self.mm_per_m

    def metres(self, mm: float) -> float:
        """A length on the paper as a length on the ground."""
        return mm / self.mm_per_m
