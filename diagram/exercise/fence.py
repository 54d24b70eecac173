"""A fence that stands somewhere: its measures settled, its parts known, its pose on the ground."""

from __future__ import annotations

from msgspec import Struct

from diagram.fences.kind import Kind, Measures, Parts
from diagram.geometry.pose import Point, Pose
from diagram.trade.distances import FenceFacts
from diagram.trade.fence_facts import KindFacts

SAME_SIDE_M = 0.01
"""Metres by which ground lines on both sides may differ and still be alike."""


class Fence(Struct, frozen=True):
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
        planes = self.parts.planes
        return planes[-1] - planes[0] if planes else 0.0

    @property
    def has_front(self) -> bool:
        """Whether it matters which way round it is built: a spread, a ground line on one side."""
        lines = [bar.start[0] for bar in self.parts.bars if bar.kind == "ground line"]
        return len(self.parts.planes) > 1 or abs(sum(lines)) > SAME_SIDE_M

    @property
    def ground_line_m(self) -> float:
        """How far before its front plane its first ground line lies; 0 where it has none."""
        lines = [bar.start[0] for bar in self.parts.bars if bar.kind == "ground line"]
        return self.parts.planes[0] - min(lines) if lines and self.parts.planes else 0.0

    @property
    def is_solid(self) -> bool:
        """A wall, a brush or the like, which does not fall as a pole does."""
        return bool(self.parts.boxes) and not self.kind.ridden_over

    @property
    def half_thick_m(self) -> float:
        """How far before and behind its middle it stands in the way of a track.

        What is to be kept clear past its planes has room for the feet of the standards, so
        fillers count as far as they reach beyond those.
        """
        edges = [abs(x) for box in self.parts.boxes for x in (box.near[0], box.far[0])]
        beyond = [edge - self.foot_m / 2 for edge in edges]
        return max([0.0, *map(abs, self.parts.planes), *beyond])

    @property
    def footprint(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The ground that its parts stand on, standards included, from corner to corner.

        Ground lines are left out: a foot moves them.
        """
        parts, half = self.parts, self.measures.width_m / 2
        bars = [bar for bar in parts.bars if bar.kind != "ground line"]
        xs = [
            x + side * self.measures.pole_m / 2
            for bar in bars
            for x in (bar.start[0], bar.end[0])
            for side in (1, -1)
        ]
        xs += [plane + side * self.foot_m / 2 for plane in parts.planes for side in (1, -1)]
        xs += [x for box in parts.boxes for x in (box.near[0], box.far[0])]
        wide = half + (self.wing_m if parts.planes else 0.0)
        ys = [y for box in parts.boxes for y in (box.near[1], box.far[1])]
        return (min(xs), min([-wide, *ys])), (max(xs), max([wide, *ys]))

    @property
    def for_distances(self) -> FenceFacts:
        """The fence as the distance tables see it."""
        return FenceFacts(self.facts.group, self.measures.height_m, self.depth_m)

    def at(self, pose: Pose) -> PlacedFence:
        """This fence standing at `pose`, the middle of its footprint."""
        return PlacedFence(self, pose)


class PlacedFence(Struct, frozen=True):
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

    def along_poles(self, steps: int) -> tuple[Point, ...]:
        """Places along its poles from end to end, so many steps from the middle to either end."""
        half = self.fence.measures.width_m / 2
        return tuple(self.ground((0.0, n / steps * half)) for n in range(-steps, steps + 1))

    @property
    def reach_m(self) -> float:
        """From the middle to the outer edge of a standard, across the track."""
        wing = self.fence.wing_m if self.fence.parts.planes else 0.0
        return self.fence.measures.width_m / 2 + wing

    @property
    def corners(self) -> tuple[Point, ...]:
        """Corners of the rectangle that it covers, standards included, in its own frame."""
        (x0, y0), (x1, y1) = self.fence.footprint
        return (x1, y1), (x0, y1), (x0, y0), (x1, y0)

    @property
    def outline(self) -> tuple[Point, ...]:
        """The same corners in the arena."""
        return tuple(self.ground(corner) for corner in self.corners)

    @property
    def span(self) -> tuple[Point, Point]:
        """Outer edges of the standards, left and right."""
        return self.ground((0.0, self.reach_m)), self.ground((0.0, -self.reach_m))
