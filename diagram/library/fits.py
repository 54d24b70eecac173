"""The rectangles that an exercise fits as it is drawn.

A ring takes the exercise when the ground that it uses, with the room it keeps from the rails,
goes in, one way round or the other; and its own arena takes it, whatever that sum says, for
there it stands. Both are sure without laying anything out again. Whether it can also be laid
out in a smaller ring is worked out when asked for (`diagram.library.rings`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagram.planning import Plan

Rectangle = tuple[float, float]
"""Metres: a length and a width, either of which may be the longer."""


def rectangles(plan: Plan, others: Iterable[Plan] = ()) -> tuple[Rectangle, ...]:
    """The smallest rectangles, along and across the exercise, rounded up to decimetres; `others`
    are its other rides.

    Never more than its own arena, to the millimetre: 200 feet are 60.96 m and not 61.
    """
    long, wide = (round(side, 3) for side in plan.arena.size)
    needed = used(plan, others)
    if not _inside(needed, (long, wide)):
        return ((long, wide),)
    a, b = _up(needed)
    return ((min(a, long), min(b, wide)),)


def used(plan: Plan, others: Iterable[Plan] = ()) -> Rectangle:
    """Metres along x and y that fences and track take, with their room to the rails as here.

    On each side that is what there is between them and the rail, but no more than the tracks
    need: `KEPT_M`.
    """
    legs = [leg for ride in (plan, *others) for leg in ride.legs]
    points = [point for leg in legs for point in leg.curve.points(1.0)]
    for placed in plan.fences:
        points += placed.outline
    x0, y0, x1, y1 = plan.arena.region.bounds
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    left, right = min(min(xs) - x0, KEPT_M), min(x1 - max(xs), KEPT_M)
    low, high = min(min(ys) - y0, KEPT_M), min(y1 - max(ys), KEPT_M)
    return max(xs) - min(xs) + left + right, max(ys) - min(ys) + low + high


KEPT_M = 2.0
"""Metres between a track or the end of a fence and the rail (common practice, no source)."""


def fits(smallest: Iterable[Rectangle], ring: Rectangle) -> bool:
    """Whether a ring takes one of the rectangles, turned as it likes, to half a centimetre."""
    long, wide = (side + 0.005 for side in ring)
    return any((a <= long and b <= wide) or (a <= wide and b <= long) for a, b in smallest)


def _inside(one: Rectangle, other: Rectangle) -> bool:
    return one[0] <= other[0] and one[1] <= other[1]


def _up(rectangle: Rectangle) -> Rectangle:
    a, b = (math.ceil(side * 10 - 1e-6) / 10 for side in rectangle)
    return a, b
