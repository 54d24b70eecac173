"""Two tapes that cross: where, at which angle, and how well that holds the place.

Formulas: distance-distance intersection as in any surveying textbook (two circles), and the
usual error of it. With the same error sigma in both readings, independent, and the angle gamma
between the tapes, the place is uncertain by sigma * sqrt(2) / sin(gamma) all round, and its
ellipse has the half axes sigma / (sqrt(2) sin(gamma/2)) and sigma / (sqrt(2) cos(gamma/2)).
"""

from __future__ import annotations

import math

from diagram.geometry.pose import Point


def crossing(a: Point, from_a: float, b: Point, from_b: float, left: bool) -> Point | None:
    """Where tapes of `from_a` metres at `a` and `from_b` at `b` meet.

    There are two such places, one on each side of the line from `a` to `b`; `left` says which.
    None where the tapes do not reach each other.
    """
    base = math.dist(a, b)
    if base == 0:
        return None
    along = (from_a**2 - from_b**2 + base**2) / (2 * base)
    squared = from_a**2 - along**2
    if squared < 0:
        return None
    aside = math.sqrt(squared) * (1 if left else -1)
    ux, uy = (b[0] - a[0]) / base, (b[1] - a[1]) / base
    return (a[0] + along * ux - aside * uy, a[1] + along * uy + aside * ux)


def is_left(a: Point, b: Point, point: Point) -> bool:
    """Whether `point` lies to the left of the line from `a` to `b`."""
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0]) > 0


def other_crossing(a: Point, b: Point, point: Point) -> Point:
    """Where the same two tapes meet a second time: `point` mirrored in the line through both."""
    ux, uy = b[0] - a[0], b[1] - a[1]
    squared = ux * ux + uy * uy
    along = ((point[0] - a[0]) * ux + (point[1] - a[1]) * uy) / squared
    foot = (a[0] + along * ux, a[1] + along * uy)
    return (2 * foot[0] - point[0], 2 * foot[1] - point[1])


def angle_between(a: Point, b: Point, point: Point) -> float:
    """Radians between the tapes from `a` and `b` where they meet at `point`, 0 to pi."""
    ax, ay = a[0] - point[0], a[1] - point[1]
    bx, by = b[0] - point[0], b[1] - point[1]
    return abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
