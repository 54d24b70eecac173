"""Bends between neighbours of fences that stand on a circle: arcs of that circle, said so or not.

Whoever rides round a circle of fences never leaves it, so that a bend from one of them to the next
is `round`, turns as far as they stand apart, and is as wide as the circle where that is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec.structs import replace

from diagram.exercise.course import Course, Link
from diagram.exercise.ridden_circles import FEWEST_ON_A_CIRCLE, ridden_circles
from diagram.model.said import ArrangedSaid, WaySaid

SAME_TURN = math.radians(1)


def as_arcs(course: Course, arranged: Iterable[ArrangedSaid]) -> Course:
    """The course with every bend along a circle of fences said to be an arc of it."""
    circles = [said for said in arranged if said.how == "on a circle"]
    circles += [said for _, said in ridden_circles(course.links)]
    circles = [said for said in circles if len(said.fences) >= FEWEST_ON_A_CIRCLE]
    if not circles:
        return course
    return replace(course, links=tuple(_as_arc(link, circles, course) for link in course.links))


def hand_among(names: Iterable[str], links: Iterable[Link]) -> bool:
    """The hand of the first bend or turn between two of some fences; left if there is none."""
    among = set(names)
    for link in links:
        ends = {jump.whole or jump.fence for jump in (link.first, link.second) if jump}
        if link.way and link.way.left is not None and len(ends & among) == 2:
            return link.way.left
    return True


def _as_arc(link: Link, circles: list[ArrangedSaid], course: Course) -> Link:
    way = link.way
    if way is None or way.shape != "bend" or way.transition is not None or link.circles:
        return link
    for said in circles:
        even = math.tau / len(said.fences)
        differs = way.turn is not None and abs(abs(way.turn) - even) > SAME_TURN
        if differs or not _goes_round(link, way, said, course):
            continue
        radius = said.size / 2 if said.size else way.radius
        turn = even if way.left else -even
        return replace(link, way=replace(way, round=True, turn=turn, radius=radius))
    return link


def _goes_round(link: Link, way: WaySaid, said: ArrangedSaid, course: Course) -> bool:
    """Whether a bend leads to the next fence on the circle, or back to the one before it."""
    first, second = link.first, link.second
    if first is None or second is None or first.angle or second.angle:
        return False
    names = said.fences
    if first.fence not in names or second.fence not in names:
        return False
    step = (names.index(second.fence) - names.index(first.fence)) % len(names)
    along = way.left == hand_among(names, course.links)
    behind = {first.from_behind, second.from_behind}
    # The other way round the circle every fence is jumped from behind, to the other hand.
    return (along and step == 1 and behind == {False}) or (
        not along and step == len(names) - 1 and behind == {True}
    )
