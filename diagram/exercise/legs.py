"""The distance that each way of the ride asks for, and in which gait it is ridden."""

from __future__ import annotations

import math

from diagram.exercise.course import Course, Link
from diagram.exercise.fence import Fence
from diagram.exercise.terms import Terms, aim
from diagram.trade.distances import Distance
from diagram.trade.words import Gait

Fences = dict[str, Fence]

SLICE_RAD = math.radians(15)
"""How far off straight a fence is jumped for the sake of one stride less in a bend (common
practice, no source)."""


def landed_gait(link: Link, fences: Fences) -> Gait:
    """A horse lands from a fence in canter; over a pole it keeps the gait it came in."""
    if link.first is None or fences[link.first.fence].kind.ridden_over:
        return link.gait
    return "canter"


def asked(
    link: Link, course: Course, fences: Fences, terms: Terms, strides: int | None = None
) -> Distance | None:
    """The distance for the strides said (or for `strides`); None where there are none to count."""
    way = link.way
    if link.first is None or link.second is None or way is None:
        return None
    count = way.strides if strides is None else strides
    if count is None:
        return None
    first, second = fences[link.first.fence], fences[link.second.fence]
    return terms.distance(count, first, second, link.gait, grid_gap(link, course, fences))


def target(link: Link, distance: Distance | None) -> float | None:
    """Metres to build: a length that is written, else what the strides aim at."""
    if link.way is not None and link.way.length is not None:
        return link.way.length
    return aim(distance, link.way.pace) if distance and link.way else None


def grid_gap(link: Link, course: Course, fences: Fences) -> int | None:
    """Number of a gap among the fences of a grid ridden from trot, poles not counted.

    None outside a grid, and in a combination that is cantered into.
    """
    if not link.inner or link.second is None or link.gait == "canter":
        return None
    whole = link.second.whole
    count = 0
    for jump in course.jumps:
        if (
            jump.whole == whole
            and jump.number <= link.second.number
            and (jump.path == link.second.path)
        ):
            fence = fences.get(jump.fence)
            count += bool(fence and not fence.for_distances.is_pole)
    return max(count - 1, 1)


def slice_limit(first: Fence, second: Fence) -> float:
    """Radians off straight at which both fences may be jumped for a shorter way through."""
    return min(SLICE_RAD, *(fence.facts.angle.value for fence in (first, second)))
