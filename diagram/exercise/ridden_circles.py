"""Circles that a ride says bend by bend: round bends of one size that come home to their first
fence are a circle of that size, as `arrange: ... on a circle` would say."""

from __future__ import annotations

import math
from collections.abc import Sequence

from diagram.exercise.course import Link, Path
from diagram.model.said import ArrangedSaid

FEWEST_ON_A_CIRCLE = 3
"""Two fences on a circle face each other across it: half of it is a turn and no bend."""


def ridden_circles(links: Sequence[Link]) -> list[tuple[Path, ArrangedSaid]]:
    """Every circle of a said size that is ridden once around over fences, where it is said."""
    found: dict[frozenset[str], tuple[Path, ArrangedSaid]] = {}
    for n, link in enumerate(links):
        names = _once_around(links[n:])
        radius = link.way.radius if link.way else None
        if names and radius is not None:
            said = ArrangedSaid("on a circle", names, size=2 * radius)
            found.setdefault(frozenset(names), (link.path, said))
    return list(found.values())


def _once_around(links: Sequence[Link]) -> tuple[str, ...]:
    """Fences from the first of these links on, until a round bend of one size ends at it again."""
    names: list[str] = []
    turns = []
    first = links[0].way
    for link in links:
        way = link.way
        same = way and first and (way.left, way.radius) == (first.left, first.radius)
        if way is None or not same or not way.round or not (link.first and link.second):
            return ()
        turns.append(way.turn)
        names.append(link.first.whole or link.first.fence)
        last = link.second.whole or link.second.fence
        if last == names[0]:
            break
        if last in names:
            return ()
    else:
        return ()
    even = math.tau / len(names)
    if any(turn is not None and not math.isclose(abs(turn), even) for turn in turns):
        return ()
    return tuple(names) if len(names) >= FEWEST_ON_A_CIRCLE else ()
