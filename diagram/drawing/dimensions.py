"""Dimension lines of straight legs: where they may run, and how they are drawn.

A dimension runs beside the track, outside the standards, from base to base, with a thin line
up from each fence. It is broken round its figure; arrows go outside when they do not fit. Where
no such line is free of everything else the figure stands beside the track without one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from diagram.drawing.frame import Frame
from diagram.drawing.labels import Candidate, Segment
from diagram.geometry.pose import Point
from diagram.planning import PlanLeg
from diagram.scene import Fill, Item, Stroke
from diagram.style import DIMENSION

OFF = (2.6, 6.0, 10.0)
"""Millimetres from the outer edge of the standards to the dimension line."""
FROM_STANDARD, BEYOND = 1.1, 1.2
"""Millimetres between a standard and the line up from it, and of that line past the dimension."""
ARROW, ARROW_HALF = 2.2, 0.5
TAIL = 3.0
"""Millimetres of line behind an arrowhead that stands outside."""
AIR = 0.6
"""Millimetres left free on each side of a figure."""
PRICES = (0.0, 3.0, 6.0)


@dataclass(frozen=True, slots=True)
class Dimension:
    """One line with its two ends, on paper: what is measured lies between `a` and `b`.

    `pieces` are the parts of the line, `ups` the lines from the fences, `outside` whether the
    arrows stand outside.
    """

    a: Point
    b: Point
    pieces: tuple[Segment, ...]
    ups: tuple[Segment, ...]
    outside: bool

    @property
    def lines(self) -> tuple[Segment, ...]:
        """All that must be free."""
        return (*self.pieces, *self.ups)


def straight_ends(leg: PlanLeg, frame: Frame) -> tuple[Point, Point] | None:
    """Both ends of a leg that is a straight line from fence to fence; None for any other."""
    straight = leg.shape == "line" and leg.first and leg.second and leg.curve.tightest < 1e-9
    if not straight:
        return None
    return frame.at(leg.curve.start.point), frame.at(leg.curve.end.point)


def dimension_candidates(
    leg: PlanLeg, frame: Frame, size: tuple[float, float]
) -> Iterator[tuple[Candidate, Dimension]]:
    """Places for a figure in or at a dimension line, with the line; none for a leg that bends."""
    ends = straight_ends(leg, frame)
    if ends is None or leg.first is None or leg.second is None:
        return
    (ax, ay), (bx, by) = ends
    length = math.dist(*ends)
    if length < 2.0:
        return
    ux, uy = (bx - ax) / length, (by - ay) / length
    reach = max(frame.mm(c.fence.reach_m) for c in (leg.first, leg.second))
    for off, price in zip(OFF, PRICES, strict=True):
        for side, more in ((-1, 0.0), (1, 0.4)):
            nx, ny = uy * side, -ux * side
            away = reach + off
            a, b = (ax + nx * away, ay + ny * away), (bx + nx * away, by + ny * away)
            ups = tuple(
                (
                    (x + nx * (reach + FROM_STANDARD), y + ny * (reach + FROM_STANDARD)),
                    (x + nx * (away + BEYOND), y + ny * (away + BEYOND)),
                )
                for x, y in ends
            )
            for centre, dimension in _figures(a, b, (nx, ny), size, ups):
                yield (
                    Candidate(centre, centre, price + more, dimension.lines, led=False),
                    dimension,
                )


def _figures(
    a: Point, b: Point, out: Point, size: tuple[float, float], ups: tuple[Segment, ...]
) -> Iterator[tuple[Point, Dimension]]:
    """In the line, with the arrows inside or outside; else beyond the line."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    gap = _along((ux, uy), size)
    tails = (
        ((a[0] - ux * (ARROW + TAIL), a[1] - uy * (ARROW + TAIL)), a),
        (b, (b[0] + ux * (ARROW + TAIL), b[1] + uy * (ARROW + TAIL))),
    )
    if length >= gap + 2 * ARROW:
        half = gap / 2
        pieces = (
            (a, (middle[0] - ux * half, middle[1] - uy * half)),
            ((middle[0] + ux * half, middle[1] + uy * half), b),
        )
        yield middle, Dimension(a, b, pieces, ups, outside=False)
        return
    if length >= gap:
        yield middle, Dimension(a, b, tails, ups, outside=True)
    across = abs(out[0]) * size[0] / 2 + abs(out[1]) * size[1] / 2 + AIR + BEYOND
    beyond = (middle[0] + out[0] * across, middle[1] + out[1] * across)
    whole = ((tails[0][0], tails[1][1]),)
    if length >= 2 * ARROW + 1:
        yield beyond, Dimension(a, b, ((a, b),), ups, outside=False)
    yield beyond, Dimension(a, b, whole, ups, outside=True)


def _along(direction: Point, size: tuple[float, float]) -> float:
    """Millimetres of a line through the middle of a box of `size` that lie in it, and air."""
    width, height = size[0] + 2 * AIR, size[1] + 2 * AIR
    cos, sin = abs(direction[0]), abs(direction[1])
    return min(width / cos if cos > 1e-9 else math.inf, height / sin if sin > 1e-9 else math.inf)


def dimension_marks(dimension: Dimension) -> list[Item]:
    """The lines and arrowheads."""
    marks: list[Item] = [Stroke(segment, DIMENSION) for segment in dimension.lines]
    (ax, ay), (bx, by) = dimension.a, dimension.b
    length = math.dist(dimension.a, dimension.b)
    ux, uy = (bx - ax) / length, (by - ay) / length
    way = -1 if dimension.outside else 1
    marks.append(_arrowhead(dimension.a, (ux * way, uy * way)))
    marks.append(_arrowhead(dimension.b, (-ux * way, -uy * way)))
    return marks


def _arrowhead(tip: Point, inward: Point) -> Fill:
    """A slender arrowhead whose tip is at `tip`."""
    x, y = tip
    (dx, dy) = inward
    base = (x + dx * ARROW, y + dy * ARROW)
    side = (-dy * ARROW_HALF, dx * ARROW_HALF)
    corners = (tip, (base[0] + side[0], base[1] + side[1]), (base[0] - side[0], base[1] - side[1]))
    return Fill(corners, DIMENSION.colour)
