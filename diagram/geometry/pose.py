"""A point with a heading, and the few moves that everything else is built from."""

from __future__ import annotations

import math

from msgspec import Struct

Point = tuple[float, float]
"""Ground metres in the arena's frame: x along a long side, y to its left."""


def wrap(angle: float) -> float:
    """`angle` in radians brought into (-pi, pi]."""
    turned = math.remainder(angle, 2 * math.pi)
    return math.pi if turned == -math.pi else turned


def unit_towards(start: Point, end: Point) -> Point:
    """Unit vector from one place towards another; none where they are the same."""
    length = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


class Pose(Struct, frozen=True):
    """A place and the direction faced there, anticlockwise from the x axis."""

    x: float
    y: float
    heading: float

    @property
    def point(self) -> Point:
        """The place without its heading."""
        return (self.x, self.y)

    @property
    def direction(self) -> Point:
        """Unit vector ahead."""
        return (math.cos(self.heading), math.sin(self.heading))

    def ahead(self, forward: float, left: float = 0.0) -> Pose:
        """Moved forward and to the left, heading kept."""
        c, s = self.direction
        return Pose(self.x + forward * c - left * s, self.y + forward * s + left * c, self.heading)

    def turned(self, angle: float) -> Pose:
        """Turned on the spot, left positive."""
        return Pose(self.x, self.y, wrap(self.heading + angle))

    def reversed(self) -> Pose:
        """Facing the other way."""
        return self.turned(math.pi)

    def seen_from(self, other: Pose) -> Pose:
        """This pose in the frame of `other`: x ahead of it, y to its left."""
        c, s = other.direction
        dx, dy = self.x - other.x, self.y - other.y
        return Pose(c * dx + s * dy, c * dy - s * dx, wrap(self.heading - other.heading))

    def placed_in(self, frame: Pose) -> Pose:
        """The inverse of `seen_from`."""
        moved = frame.ahead(self.x, self.y)
        return Pose(moved.x, moved.y, wrap(frame.heading + self.heading))

    def distance(self, point: Point) -> float:
        """Metres to a point."""
        return math.hypot(point[0] - self.x, point[1] - self.y)

    def mirrored(self) -> Pose:
        """Reflected in the x axis."""
        return Pose(self.x, -self.y, wrap(-self.heading))
