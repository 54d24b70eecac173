"""The lines of an exercise as a crew can tape them: base to base, between rows of standards."""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from diagram.geometry.pose import Point
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.stakeout.points import ROWS, Row, RowPoint, feet

TAPED = ("line", "bend")
"""Legs that are built to a distance. The length of a turn is only what comes of it."""


class LineEnd(Struct, frozen=True):
    """Where a line meets a fence: the row of standards, and how many metres to the left of its
    middle, as the fence is first jumped."""

    fence: str
    row: Row
    left_m: float

    def place(self, feet: Mapping[str, Point]) -> Point:
        """The place between the feet of the row, wherever those stand."""
        left, right = (feet[name] for name in self.names)
        return between(left, right, self.left_m)

    @property
    def point(self) -> RowPoint:
        """The middle of its row."""
        return RowPoint(self.fence, self.row)

    @property
    def names(self) -> tuple[str, str]:
        """The feet of its row, left and right."""
        left, right = (
            " ".join(word for word in (self.fence, side, self.row) if word)
            for side in ("left", "right")
        )
        return left, right


def between(left: Point, right: Point, left_m: float) -> Point:
    """The place between two feet, so many metres to the left of the middle."""
    share = 0.5 + left_m / math.dist(left, right)
    return (right[0] + share * (left[0] - right[0]), right[1] + share * (left[1] - right[1]))


class TapedLine(Struct, frozen=True):
    """One line of the ride. `track_m` is ridden, `straight_m` what a tape reads between its
    ends; in a straight line both are the same. `strides` are those said in the file."""

    start: LineEnd
    end: LineEnd
    track_m: float
    straight_m: float
    strides: int | None
    bend: bool

    @property
    def name(self) -> str:
        """``larch → alder``."""
        return f"{self.start.fence} → {self.end.fence}"

    def taped(self, feet: Mapping[str, Point]) -> float:
        """Metres between its ends with the feet where they stand."""
        return math.dist(self.start.place(feet), self.end.place(feet))


def taped_lines(plan: Plan) -> tuple[TapedLine, ...]:
    """Every line and bend of the ride once, in the order ridden."""
    planned = feet(plan)
    out: list[TapedLine] = []
    seen: set[frozenset[LineEnd]] = set()
    for leg in plan.legs:
        line = _line(leg, plan, planned)
        if line is None or frozenset((line.start, line.end)) in seen:
            continue
        seen.add(frozenset((line.start, line.end)))
        out.append(line)
    return tuple(out)


def _line(leg: PlanLeg, plan: Plan, planned: Mapping[str, Point]) -> TapedLine | None:
    if leg.shape not in TAPED or leg.first is None or leg.second is None:
        return None
    start, end = _end(leg.first, False, plan), _end(leg.second, True, plan)
    if start.fence == end.fence:
        return None
    straight = math.dist(start.place(planned), end.place(planned))
    return TapedLine(start, end, leg.track_m, straight, leg.strides, leg.shape == "bend")


def _end(crossing: Crossing, enters: bool, plan: Plan) -> LineEnd:
    """The end of a line at a fence that it enters or leaves."""
    rows = ROWS[len(crossing.fence.fence.parts.planes or (0.0,))]
    first = next(c for c in plan.crossings if c.jump.fence == crossing.jump.fence)
    turned = first.jump.from_behind != crossing.jump.from_behind
    row = rows[0] if enters != turned else rows[-1]
    # On an angle the track crosses each row beside its middle.
    aside = crossing.fence.fence.depth_m / 2 * math.tan(crossing.jump.angle)
    left = -aside if enters else aside
    return LineEnd(crossing.jump.fence, row, round(-left if turned else left, 9) + 0.0)
