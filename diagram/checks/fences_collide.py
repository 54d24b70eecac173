"""fences-collide: two fences that stand in each other's place."""

from collections.abc import Iterable
from itertools import combinations

import numpy as np

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.region import Region
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "fences-collide"
SOURCE = "derived: the ground that poles and standards cover"
FARTHEST_M = 12.0
"""Metres between the middles of two fences beyond which neither reaches the other."""
OVERLAP = Limit(NAME, "overlap")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    places = np.array([fence.pose.point for fence in plan.fences]).reshape(-1, 2)
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    for n, m in np.argwhere(np.triu(apart <= FARTHEST_M, 1)):
        one, other = plan.fences[n], plan.fences[m]
        if _overlap(one.outline, other.outline) or _overlap(other.outline, one.outline):
            yield found(
                plan, NAME, Severity.STOP, f"{other.name} stands in {one.name}",
                other.fence.path[:2], "move one of them", key=True, source=SOURCE,
                at=other.pose.point,
            )  # fmt: skip


def _overlap(one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...]) -> bool:
    """Whether any of many places on the edges and diagonals of `one` lies inside `other`."""
    corners = np.array(one)
    lines = [(corners[i], corners[j]) for i, j in combinations(range(len(corners)), 2)]
    share = np.linspace(0, 1, 25)[:, None]
    places = np.concatenate([a + (b - a) * share for a, b in lines])
    return bool((Region.of(other).inside(places) > OVERLAP.value).any())


RULE = Rule(NAME, _check)
