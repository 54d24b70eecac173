"""A problem seen in a mirror: left for right, so that each pair of mirror images is solved once."""

from __future__ import annotations

import numpy as np
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.geometry.region import Region
from diagram.solver.relations import Bending, Open, Problem, Turning

DECIMALS = 9
"""A rectangle and its mirror image are the same region, to the last digit that counts."""


def right_handed(problem: Problem) -> bool:
    """Whether the first turn or bend is to the right, so that its mirror image is solved."""
    hands = [r.left for r in problem.relations if isinstance(r, Bending | Turning)]
    hands += [bool(way.left) for way in problem.opens if way.back]
    return not next(iter(hands), True)


def mirrored(problem: Problem) -> Problem:
    """The problem reflected in the line half way up its region."""
    total = _total(problem)

    def point(at: Point) -> Point:
        return at[0], round(total - at[1], DECIMALS) + 0.0

    corners = tuple(point(corner) for corner in reversed(problem.region.corners))
    least = min(range(len(corners)), key=lambda n: corners[n])
    bodies = tuple(
        replace(body, parts=tuple((fence, pose.mirrored()) for fence, pose in body.parts))
        for body in problem.bodies
    )
    return replace(
        problem,
        bodies=bodies,
        relations=tuple(relation.mirrored(total) for relation in problem.relations),
        opens=tuple(_open(way, total) for way in problem.opens),
        region=Region((*corners[least:], *corners[:least])),
        posts=tuple(point(post) for post in problem.posts),
    )


def reflected(problem: Problem, unknowns: Floats) -> Floats:
    """Unknowns (n,) of a problem as those of its mirror image; the other way round alike."""
    out = unknowns.copy()
    bodies = 3 * len(problem.bodies)
    out[1:bodies:3] = _total(problem) - unknowns[1:bodies:3]
    out[2:bodies:3] = -unknowns[2:bodies:3]
    return np.asarray(out)


def reflected_point(problem: Problem, at: Point | None) -> Point | None:
    """A point of the arena in the mirror."""
    return None if at is None else (at[0], round(_total(problem) - at[1], DECIMALS) + 0.0)


def _total(problem: Problem) -> float:
    _, y0, _, y1 = problem.region.bounds
    return y0 + y1


def _open(way: Open, total: float) -> Open:
    begin = way.begin and Pose(
        way.begin.x, round(total - way.begin.y, DECIMALS) + 0.0, -way.begin.heading
    )
    return replace(
        way, end=way.end.mirrored(), begin=begin,
        left=None if way.left is None else not way.left,
        lead=None if way.lead is None else not way.lead,
    )  # fmt: skip
