"""A fence that stands somewhere: its measures settled, its parts known, its pose on the ground."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.fences.kind import Kind, Measures, Parts
from diagram.geometry.pose import Point, Pose
from diagram.trade.distances import FenceFacts
from diagram.trade.fence_facts import KindFacts


@dataclass(frozen=True, slots=True)
class Fence:
    """One fence with its measures settled; `whole` names the combination it belongs to.

    `wing_m` is how far the standards reach out beyond the poles on each side, `foot_m` how far
    their feet reach along the track.
    """

    name: str
    kind: Kind
    facts: KindFacts
    measures: Measures
    parts: Parts
    wing_m: float
    foot_m: float
    whole: str = ""
    path: tuple[str | int, ...] = ()

    @property
    def depth_m(self) -> float:
        """Front plane to back plane along the track: the spread."""
        return self.measures.spread_m

    @property
    def for_distances(self) -> FenceFacts:
        """The fence as the distance tables see it."""
        return FenceFacts(self.facts.group, self.measures.height_m, self.measures.spread_m)

    def at(self, pose: Pose) -> PlacedFence:
        """This fence standing at `pose`, the middle of its footprint."""
        return PlacedFence(self, pose)


@dataclass(frozen=True, slots=True)
class PlacedFence:
    """A fence at a pose, facing the way it is first jumped."""

    fence: Fence
    pose: Pose

    @property
    def name(self) -> str:
        """Its name in the file."""
        return self.fence.name

    def ground(self, point: Point) -> Point:
        """A place in the fence's frame as a place in the arena."""
        return self.pose.ahead(*point).point

    @property
    def feet(self) -> tuple[Point, ...]:
        """Feet of the standards, front to back, left one first; pole ends if it has none."""
        half = self.fence.measures.width_m / 2
        planes = self.fence.parts.planes or (0.0,)
        return tuple(self.ground((x, side * half)) for x in planes for side in (1, -1))

    @property
    def reach_m(self) -> float:
        """From the middle to the outer edge of a standard, across the track."""
        wing = self.fence.wing_m if self.fence.parts.planes else 0.0
        return self.fence.measures.width_m / 2 + wing

    @property
    def corners(self) -> tuple[Point, ...]:
        """Corners of the rectangle that it covers, standards included, in its own frame."""
        beyond = self.fence.foot_m if self.fence.parts.planes else self.fence.measures.pole_m
        half, wide = (self.fence.depth_m + beyond) / 2, self.reach_m
        return (half, wide), (-half, wide), (-half, -wide), (half, -wide)

    @property
    def outline(self) -> tuple[Point, ...]:
        """The same corners in the arena."""
        return tuple(self.ground(corner) for corner in self.corners)

    @property
    def span(self) -> tuple[Point, Point]:
        """Outer edges of the standards, left and right."""
        return self.ground((0.0, self.reach_m)), self.ground((0.0, -self.reach_m))
