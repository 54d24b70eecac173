"""The readings of the builder's leaf: which tapes set each fence, and where they put it.

Three ways, after what a fence hangs on (`hanging`): found from the rail (`from_rail`), set by its
line or on the tape of a combination (`by_line`). No reading is longer than the tape, as long as
there is another way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.planning import Plan
from diagram.stakeout.by_line import set_by_line, set_on_the_tape
from diagram.stakeout.crew import Crew
from diagram.stakeout.crossing import other_crossing
from diagram.stakeout.from_rail import found_from_rail, reached_from_rail
from diagram.stakeout.ground import Ground, feet_names
from diagram.stakeout.hanging import Hung
from diagram.stakeout.sides import side_ahead
from diagram.stakeout.taped import Taped, TapedFence

NO_WORSE = 1.05
"""A peg is saved where that adds no more than this to the error of the worst fence."""

INSIDE_M = 1.0
"""A second crossing this far inside the rail could be taken for the place that is meant."""


def tape_fences(
    plan: Plan, order: Sequence[Hung], crew: Crew, there: Mapping[str, Pose], pegs_before: int = 0
) -> tuple[Taped, ...]:
    """The readings for every fence of `order`. `there` are fences that stand already, by name,
    with their poses as first jumped. Pegs are numbered on from `pegs_before`."""
    ground = Ground(plan, crew, len(order), there, pegs_before=pegs_before)
    fences = _taped(ground, order)
    held = {r.start for fence in fences for r in fence.readings if r.word != "along"}
    if all(peg.name in held for peg in ground.pegs):
        return fences
    # A peg that is only a stepping stone: rather one that a later fence wants in any case.
    again = Ground(plan, crew, len(order), there, ground.asked, pegs_before)
    other = _taped(again, order)
    worst = max(fence.error_m for fence in fences)
    fewer = len(again.pegs) < len(ground.pegs)
    return other if fewer and max(f.error_m for f in other) <= NO_WORSE * worst else fences


def _taped(ground: Ground, order: Sequence[Hung]) -> tuple[Taped, ...]:
    groups, seen = _groups(order), dict.fromkeys((hung.fence for hung in order), 0)
    out: list[Taped] = []
    while groups:
        # What no tape reaches yet may be reached from fences that stand later.
        ready = (g for g in groups if g[0].how != "rail" or _reached(ground, g[0], seen))
        group = next(ready, groups[0])
        groups.remove(group)
        out += [_set(ground, hung) for hung in group]
    return tuple(out)


def _groups(order: Sequence[Hung]) -> list[list[Hung]]:
    """Each fence that is found from the rail, with those that hang on it."""
    groups: list[list[Hung]] = []
    for hung in order:
        if hung.how == "rail" or not groups:
            groups.append([])
        groups[-1].append(hung)
    return groups


def _reached(ground: Ground, hung: Hung, seen: dict[str, int]) -> bool:
    """Whether a tape reaches a fence; asked again only when a mark has come to stand near it
    since as many were `seen` there."""
    placed = ground.plan.fence(hung.fence)
    at, wide = placed.pose.point, placed.fence.depth_m + placed.fence.measures.width_m
    marks = list(ground.marks.values())
    new, asked = marks[seen[hung.fence] :], seen[hung.fence] > 0
    seen[hung.fence] = len(marks)
    if asked and all(math.dist(mark.at, at) > ground.crew.tape_length + wide for mark in new):
        return False
    return reached_from_rail(ground, placed)


def _set(ground: Ground, hung: Hung) -> Taped:
    placed = ground.plan.fence(hung.fence)
    found = None
    if hung.how == "line":
        found = set_by_line(ground, hung, placed)
    elif hung.how == "on the tape":
        found = set_on_the_tape(ground, hung, placed)
    if found is None:
        hung = Hung(hung.fence, "rail")
        found = found_from_rail(ground, placed)
    ground.stand(placed, found.stands)
    pose, arena = ground.pose(placed), ground.plan.arena
    left, right = (
        side_ahead(arena, pose.point, pose.turned(sign * math.pi / 2).direction) for sign in (1, -1)
    )
    return Taped(
        hung, placed, found.pegs, found.readings, pose, found.stands, found.row_x,
        feet_names(placed, found.row_x), (left, right), found.towards, found.crossing,
        frozenset(_twice(ground, found, placed)),
    )  # fmt: skip


def _twice(ground: Ground, found: TapedFence, placed: PlacedFence) -> Iterator[str]:
    """Ends of tapes whose other crossing lies in the arena, away from the rail, as well."""
    pose, half = ground.pose(placed), placed.fence.measures.width_m / 2
    at = dict(zip(feet_names(placed, found.row_x), (half, -half), strict=True))
    for end in found.towards:
        held = [ground.marks[r.start].at for r in found.readings if end in r.ends]
        if len(held) < 2:
            continue
        other = other_crossing(held[0], held[1], pose.ahead(found.row_x, at.get(end, 0.0)).point)
        if ground.plan.arena.region.depth(other) > INSIDE_M:
            yield end
