"""A plan as small as a stamp: rail, tracks, fences, and the numbers of the jumps."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence

from msgspec import Struct

from diagram.drawing.parts import parts_of
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg
from diagram.scene import Disc, Group, Item, Stroke, Text, moved
from diagram.style import INK, PAPER, Pen, phase_pen, points

SAGITTA_M = 0.05
TRACK, RAIL, BAR = 0.55, 0.25, 0.9
"""Millimetres: pens of track, rail and poles."""
NUMBER_PT, DISC = 6.5, 1.55
BEFORE_MM = 3.0
"""Before the fence, along the track, where its number stands."""
STANDING = (0.5, 0.7)
"""Dashes of a fence that stands there and is not jumped."""


class SmallPlan(Struct, frozen=True):
    """Marks with their top left corner at the origin, millimetres."""

    marks: Group
    width: float
    height: float

    def at(self, left: float, top: float) -> Item:
        """The marks where they are wanted."""
        return moved(self.marks, left, top)


def small_plan(
    plan: Plan, mm_per_m: float, standing: Collection[str] = (), others: Sequence[Plan] = ()
) -> SmallPlan:
    """The plan at a scale. Fences named in `standing` are there and are not jumped; `others` are
    rides over the same fences, each drawn as a phase of its own."""
    x0, y0, x1, y1 = plan.arena.region.bounds

    def on_paper(point: Point) -> Point:
        return (point[0] - x0) * mm_per_m, (y1 - point[1]) * mm_per_m

    corners = tuple(on_paper(corner) for corner in plan.arena.region.corners)
    marks: list[Item] = [Stroke(corners, Pen(INK, RAIL), closed=True, sized="ground")]
    for leg, phase in phases(plan, *others):
        line = tuple(on_paper((float(x), float(y))) for x, y in leg.curve.outline(SAGITTA_M))
        pen = phase_pen(phase)
        dash = tuple(length * TRACK / pen.width for length in pen.dash)
        marks.append(Stroke(line, Pen(pen.colour, TRACK, dash), sized="ground"))
    for placed in plan.fences:
        left = standing and placed.name in standing
        pen = Pen(INK, RAIL, STANDING) if left else Pen(INK, BAR)
        for bar in placed.fence.parts.bars:
            if bar.kind != "ground line":
                ends = (on_paper(placed.ground(bar.start)), on_paper(placed.ground(bar.end)))
                marks.append(Stroke(ends, pen, sized="ground"))
    marks += _numbers(phases(plan, *others), mm_per_m, on_paper)
    group = Group("small-plan", tuple(marks), f"Plan of {plan.definition.title}")
    return SmallPlan(group, (x1 - x0) * mm_per_m, (y1 - y0) * mm_per_m)


def phases(*rides: Plan) -> list[tuple[PlanLeg, int]]:
    """Every leg with the number of its phase, those of a second ride after those of the first."""
    out: list[tuple[PlanLeg, int]] = []
    begin = 0
    for ride in rides:
        parts = parts_of(ride)
        own = [(leg, begin + parts.of(leg)) for leg in ride.legs]
        out += own
        begin = max((phase for _, phase in own), default=begin - 1) + 1
    return out


def _numbers(
    legs: Sequence[tuple[PlanLeg, int]], mm_per_m: float, place: Callable[[Point], Point]
) -> list[Item]:
    """A disc before each jump; where two would lie on each other the later one moves back."""
    marks: list[Item] = []
    taken: list[Point] = []
    for leg, phase in legs:
        if leg.second is None or leg.link.inner:
            continue
        for back in range(1, 6):
            s = max(0.0, leg.track_m - back * BEFORE_MM / mm_per_m)
            at = place(leg.curve.pose_at(s).point)
            if all(math.dist(at, other) > 2 * DISC for other in taken) or s == 0.0:
                break
        taken.append(at)
        number = str(leg.second.jump.number)
        size = points(NUMBER_PT if len(number) < 2 else NUMBER_PT - 1)
        marks.append(Disc(at, DISC, PAPER, Pen(phase_pen(phase).colour, 0.3)))
        marks.append(Text((at[0], at[1] + size * 0.34), number, size, "bold", "middle"))
    return marks
