"""Where a track may go, how a turn should be ridden, and what it costs to depart from that."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.corner import SHARPEST
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Pose
from diagram.geometry.region import ALIKE, Region, own_distances, segment_distances
from diagram.trade.riding import riding


class Room(Struct, frozen=True, eq=False, dict=True):
    """Where the track may go: inside `region`, clear of obstacles.

    Obstacles are segments from `a` to `b` (m, 2), each `thick` metres (m,) to either side. Rooms
    are equal that are the same to the last bit.
    """

    region: Region
    a: Floats
    b: Floats
    thick: Floats

    @cached_property
    def _bits(self) -> tuple[object, ...]:
        sides = (self.a, self.b, self.thick)
        return (self.region.corners, *(side.tobytes() for side in sides))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Room) and self._bits == other._bits

    def __hash__(self) -> int:
        return hash(self._bits)

    def mirrored(self) -> Room:
        """Reflected in the x axis."""
        flip = np.array([1.0, -1.0])
        return Room(self.region.mirrored(), self.a * flip, self.b * flip, self.thick)

    def clearance(self, points: Floats) -> Floats:
        """Metres from `points` (..., 2) to the nearest obstacle."""
        if not len(self.a):
            return np.full(points.shape[:-1], np.inf)
        gaps: Floats = (segment_distances(points, self.a, self.b) - self.thick).min(axis=-1)
        return gaps

    def closeness(self, ways: Floats, within: float) -> Floats:
        """`clearance` of rows of places (..., K, 2) where under `within` metres, else no less.

        What lies further than that off the box about an obstacle is never held against it: of the
        fences of a large arena that is nearly all.
        """
        x, y = ways[..., 0].ravel(), ways[..., 1].ravel()
        gaps: Floats = np.where(np.isnan(x), np.nan, np.inf)
        reach = self.thick[:, None] + within
        low, high = np.minimum(self.a, self.b) - reach, np.maximum(self.a, self.b) + reach
        near = (x >= low[:, :1]) & (x <= high[:, :1])
        near &= y >= low[:, 1:]
        near &= y <= high[:, 1:]
        which, at = near.nonzero()
        some = own_distances(x[at], y[at], self.a[which], self.b[which]) - self.thick[which]
        np.minimum.at(gaps, at, some)
        return gaps.reshape(ways.shape[:-1])


class Manner(Struct, frozen=True):
    """How a turn should be ridden, in metres.

    `least_radius` and `liked_radius` of the bend; `out` and `into` straight after the first
    fence and before the next, at the very least, `wanted_straight` of each and `liked_straight`
    if there is room; `rail` and `fences` the least distances to keep. `wide` goes out to the
    rail where it is near. `radii` are those tried, `stride` one stride of the gait, and `fair` the
    least radii of all horses of the size, tightest first.
    """

    least_radius: float
    liked_radius: float
    out: float
    into: float
    wanted_straight: float
    liked_straight: float
    rail: float
    fences: float
    stride: float
    wide: bool = True
    radii: tuple[float, ...] = ()
    fair: tuple[float, ...] = ()

    def easier(self) -> tuple[Manner, ...]:
        """The same for horses that want less room, who have the least first."""
        liked = self.liked_radius / self.least_radius
        return tuple(
            replace(self, least_radius=least, liked_radius=least * liked)
            for least in self.fair
            if least < self.least_radius - ALIKE
        )

    @property
    def tried(self) -> tuple[float, ...]:
        """The radii that a turn is tried with, the same for green and schooled horses: so the
        more a horse wants, the wider is what it gets."""
        return self.radii or (self.least_radius, self.liked_radius)

    @property
    def widest(self) -> float:
        """Greatest radius worth making: beyond it a wide turn has straights instead."""
        return max(self.liked_radius * 1.3, self.least_radius) if self.wide else math.inf


NEAR_RAIL = riding().room.near_the_rail.value
"""Metres. A turn that passes closer than this to the rail is ridden out to it."""
FREE_AFTER = riding().room.free_after.value
"""Metres from either end over which the fence itself is no obstacle."""

FARTHEST = 150.0
"""Metres. No way goes further straight ahead."""

# Prices, in metres of extra track that a rider would go to avoid one unit of it.
TIGHT = 40.0
SHORT_STRAIGHT = 1.0
TOO_SHORT_STRAIGHT = 12.0
OFF_RAIL = riding().room.off_the_rail.value
SWERVE = 25.0
BROKEN = 400.0
POINT = 1.0
"""Metres of radius under which a corner is a point, which no horse can turn on."""
BEYOND = 100 * BROKEN
ALLOWED = 1.0
"""Price units of broken limits under which no more elaborate route is looked for."""


class Task(Struct, frozen=True):
    """One turn to find: from `start` to `end`, `net` radians to the left in all."""

    start: Pose
    end: Pose
    net: float
    room: Room
    manner: Manner

    def shape_price(
        self, length: Floats, turns: Floats, radii: Floats, first: Floats, last: Floats
    ) -> tuple[Floats, Floats]:
        """Price of N routes by their own shape, and the part of it for broken limits.

        `turns` and `radii` are (N, m); `first` and `last` the straights at both ends (N,).
        """
        manner, turned = self.manner, np.abs(turns)
        price = length + (turned * manner.liked_radius**2 / np.maximum(radii, 0.2)).sum(axis=1)
        for straight in (first, last):
            price = price + SHORT_STRAIGHT * np.maximum(manner.liked_straight - straight, 0.0)
            price += TOO_SHORT_STRAIGHT * np.maximum(manner.wanted_straight - straight, 0.0)
        price += SWERVE * np.maximum(-turns, 0.0).sum(axis=1)
        tight = np.maximum(manner.least_radius - radii, 0.0) * (turned > 0.02)
        broken = TIGHT * (tight + tight**2).sum(axis=1)
        broken += BEYOND * (np.maximum(POINT - radii, 0.0) * (turned > 0.02)).sum(axis=1)
        broken += BROKEN * np.maximum(manner.out - 1e-6 - first, 0.0)
        broken += BROKEN * np.maximum(manner.into - 1e-6 - last, 0.0)
        return price, broken

    def turn_price(self, turns: Floats) -> Floats:
        """Price of corners too sharp to build and of turning the wrong amount in all."""
        sharp = np.maximum(np.abs(turns) - SHARPEST, 0.0).sum(axis=1)
        price: Floats = BEYOND * (sharp + np.abs(turns.sum(axis=1) - self.net))
        return price

    def wall_price(self, points: Floats, middles: Floats) -> tuple[Floats, Floats]:
        """Price of where N routes run, and the part of it for broken limits.

        `points` (N, k, 2) along each track; `middles` (N, j, 2) of the straights between
        corners, which a wide turn takes out to the rail.
        """
        manner, region = self.manner, self.room.region
        broken = BROKEN * np.maximum(manner.rail - region.inside(points), 0.0).max(axis=1)
        if len(self.room.a):
            from_ends = np.minimum(
                np.hypot(points[..., 0] - self.start.x, points[..., 1] - self.start.y),
                np.hypot(points[..., 0] - self.end.x, points[..., 1] - self.end.y),
            )
            short = np.maximum(manner.fences - self.room.closeness(points, manner.fences), 0.0)
            broken += BROKEN * (short * (from_ends > FREE_AFTER)).max(axis=1)
        price = np.zeros(len(points))
        if manner.wide:
            off = np.clip(region.inside(middles) - manner.rail, 0.0, NEAR_RAIL - manner.rail)
            price += OFF_RAIL * off.sum(axis=1)
        return price, broken
