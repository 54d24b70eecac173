"""The places that fences of several exercises stand in: which of them are one place.

Two fences are one when they stand in one spot, within what a crew sets out to, and face the same
way or can be jumped from both sides. The same spot faced from behind with a spread in it is no
common place: a horse would meet the spread the wrong way round.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Pose
from diagram.planning import Plan

SPOT_M = 0.3
"""Metres between the middles of fences that are one: a line set a foot long or short rides as the
same number of strides (common practice, no source)."""
FACING_RAD = math.radians(3)
CLEAR_M = 1.5
"""Metres to keep between a ridden track and a fence that stands there unused (the same figure as
the check of a fence in the way)."""


class Build(Struct, frozen=True):
    """How a fence is built in one exercise: what must be changed when it serves another.

    `line` is the side of its ground line as the first exercise of the place faces it, a `pole` has
    no standards.
    """

    kind: str
    height_mm: int
    spread_mm: int
    rails: int
    spread: bool
    line: Literal["none", "front", "back", "both"] = "none"
    pole: bool = False


class SharedSpot(Struct, frozen=True):
    """One place on the ground. `builds` by number of exercise; `blocks` are exercises that it
    must not stand in while they are ridden; `name` is that of the first that uses it, with its
    number where an exercise before has a fence of that name elsewhere."""

    name: str
    pose: Pose
    builds: dict[int, Build]
    names: dict[int, str]
    blocks: frozenset[int] = frozenset()


class FromBehind(Struct, frozen=True):
    """A spread of one exercise that another one meets from its back."""

    first: int
    second: int
    first_name: str
    second_name: str


def spots_of(
    plans: Sequence[Plan],
    numbers: Sequence[int] = (),
    lying: Sequence[Collection[str]] = (),
) -> tuple[tuple[SharedSpot, ...], tuple[FromBehind, ...]]:
    """The places that exercises in one arena need together, and what cannot share one.

    `numbers` are what the exercises are called where that is not their order, `lying` the fences
    of each whose rails lie on the ground or are taken out.
    """
    found: list[SharedSpot] = []
    behind: list[FromBehind] = []
    for n, plan in enumerate(plans):
        down = lying[n] if lying else ()
        for placed in plan.fences:
            whole = placed.fence.whole or placed.name
            built = LIES if whole in down else build_of(placed)
            same = next((spot for spot in found if n not in spot.builds
                         and _at(spot.pose, placed.pose)), None)  # fmt: skip
            if same is None:
                taken = any(spot.name == placed.name for spot in found)
                number = numbers[n] if numbers else n + 1
                name = f"{placed.name} of {number}" if taken else placed.name
                found.append(SharedSpot(name, placed.pose, {n: built}, {n: placed.name}))
                continue
            if turned(same.pose, placed.pose) and _one_way(same, placed):
                first = next(iter(same.builds))
                behind.append(FromBehind(first, n, same.names[first], placed.name))
            same.builds[n] = _facing(built, turned(same.pose, placed.pose))
            same.names[n] = placed.name
    return tuple(_with_blocks(spot, plans) for spot in found), tuple(behind)


LIES = Build("pole on the ground", 0, 0, 1, False)
"""A fence whose rails lie or are out: it stands, and is not jumped."""


def build_of(placed: PlacedFence) -> Build:
    """What stands there."""
    fence = placed.fence
    measures = fence.measures
    rails = sum(bar.kind in ("pole", "low pole", "plank") for bar in fence.parts.bars)
    jumped = not fence.kind.ridden_over
    line: Literal["none", "front", "both"] = "none"
    if jumped and fence.ground_line_m:
        line = "both" if measures.ground_line == "both sides" else "front"
    return Build(
        fence.kind.name, round(measures.height_m * 1000), round(measures.spread_m * 1000), rails,
        fence.depth_m > 0.0 and jumped, line, not jumped,
    )  # fmt: skip


def _facing(build: Build, other_way: bool) -> Build:
    """The same, where the exercise comes from the other side than the first one."""
    back = other_way and build.line == "front"
    return replace(build, line="back") if back else build


def _at(one: Pose, other: Pose) -> bool:
    """Whether two fences stand in one spot and in one line, whichever way they face."""
    turn = abs(math.remainder(one.heading - other.heading, math.pi))
    return math.dist(one.point, other.point) <= SPOT_M and turn <= FACING_RAD


def turned(one: Pose, other: Pose) -> bool:
    """Whether two fences in one spot face opposite ways."""
    return abs(math.remainder(one.heading - other.heading, math.tau)) > math.pi / 2


def _one_way(spot: SharedSpot, placed: PlacedFence) -> bool:
    return build_of(placed).spread or any(build.spread for build in spot.builds.values())


def _with_blocks(spot: SharedSpot, plans: Sequence[Plan]) -> SharedSpot:
    """The spot with the exercises that it would be in the way of."""
    user = next(iter(spot.builds))
    placed = plans[user].fence(spot.names[user])
    left, right = placed.span
    in_the_way = frozenset(
        n
        for n, plan in enumerate(plans)
        if n not in spot.builds
        and (_near_track(plan, left, right) or _near_fence(plan, spot, placed))
    )
    return SharedSpot(spot.name, spot.pose, spot.builds, spot.names, in_the_way)


def _near_track(plan: Plan, left: tuple[float, float], right: tuple[float, float]) -> bool:
    if not plan.legs:
        return False
    tracks = np.concatenate([leg.curve.points(0.5) for leg in plan.legs])
    a, b = np.array(left), np.array(right)
    along = b - a
    share = np.clip(((tracks - a) @ along) / max(float(along @ along), 1e-9), 0.0, 1.0)
    gaps = np.linalg.norm(tracks - (a + share[:, None] * along), axis=1)
    return bool(gaps.min() < CLEAR_M)


def _near_fence(plan: Plan, spot: SharedSpot, placed: PlacedFence) -> bool:
    """Whether it would stand in one of the exercise's own fences."""
    reach = placed.reach_m
    return any(
        math.dist(other.pose.point, spot.pose.point) < min(reach, other.reach_m)
        for other in plan.fences
    )
