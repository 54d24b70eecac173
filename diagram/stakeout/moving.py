"""From one set-up to the next: what stays, what moves where, what is fetched and cleared away."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from diagram.exercise.equipment import Equipment, equipment_of
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.stakeout.points import as_first_jumped, feet_of
from diagram.units import Units, length_text

STAYS_M = 0.05
"""Metres. A fence whose feet are this near to where they should be is left standing: nobody
moves a standard by two inches."""


class Job(Struct, frozen=True):
    """One piece of work between two set-ups.

    `fence` is set in the new one (empty for what is cleared away); `old` is the fence whose
    equipment it uses (empty for what comes from the store). `first` are other old fences that are
    taken down before, because they stand in its place.
    """

    what: Literal["move", "fetch", "clear"]
    fence: str
    old: str
    origin: Point
    place: Point
    shared: int
    rest: int
    first: tuple[str, ...] = ()


class Alteration(Struct, frozen=True):
    """What stays (new name to old name), with what is to be altered there, and the jobs; `blocked`
    are the old fences that stand in the place of a new one."""

    stays: dict[str, str] = field(default_factory=dict)
    altered: dict[str, tuple[str, ...]] = field(default_factory=dict)
    jobs: tuple[Job, ...] = ()
    blocked: dict[str, tuple[str, ...]] = field(default_factory=dict)


def change_between(old: Plan, new: Plan, store: Point, units: Units) -> Alteration:
    """What is to be done after `old` to set up `new` in the same arena.

    Equipment goes where it saves most carrying, as one assignment over all fences (the linear
    sum assignment of scipy). Raises ValueError for two different arenas.
    """
    if old.arena.region.corners != new.arena.region.corners:
        raise ValueError("the two exercises do not stand in the same arena")
    stays = _stays(old, new)
    coming = [f for f in new.fences if f.name not in stays]
    going = [f for f in old.fences if f.name not in stays.values()]
    jobs = tuple(_jobs(coming, going, store))
    altered = {
        name: said
        for name, was in stays.items()
        if (said := _altered(old.fence(was), new.fence(name), units))
    }
    return Alteration(stays, altered, jobs, _blocked(jobs, old, new))


def _stays(old: Plan, new: Plan) -> dict[str, str]:
    out: dict[str, str] = {}
    for fence in new.fences:
        for was in old.fences:
            if was.name not in out.values() and _same_place(was, fence):
                out[fence.name] = was.name
                break
    return out


def _same_place(one: PlacedFence, other: PlacedFence) -> bool:
    """Whether the standards of two fences have the same feet, whichever way round."""
    if len(one.feet) != len(other.feet) or bool(one.fence.parts.planes) != bool(
        other.fence.parts.planes
    ):
        return False
    gaps = [min(math.dist(foot, near) for near in other.feet) for foot in one.feet]
    return max(gaps) <= STAYS_M


def _altered(was: PlacedFence, fence: PlacedFence, units: Units) -> tuple[str, ...]:
    """What is to be done at a fence whose standards stay."""
    before, after = was.fence.measures, fence.fence.measures
    out: list[str] = []
    if was.fence.kind.name != fence.fence.kind.name:
        out.append(f"make it a {fence.fence.kind.name}: it was a {was.fence.kind.name}")
    if abs(before.height_m - after.height_m) > 0.005:
        word = "raise" if after.height_m > before.height_m else "lower"
        out.append(f"{word} it to {length_text(after.height_m, units)}")
    if abs(before.front_m - after.front_m) > 0.005 and fence.fence.depth_m:
        out.append(f"front pole to {length_text(after.front_m, units)}")
    if before.filler != after.filler:
        out.append(f"filler: {after.filler or 'none'}")
    turned = math.cos(was.pose.heading - fence.pose.heading) < 0
    if before.ground_line != after.ground_line or (turned and after.ground_line == "front"):
        out.append(f"ground line: {after.ground_line}")
    if turned:
        out.append("it is now jumped from the other side")
    return tuple(out)


def _jobs(coming: Sequence[PlacedFence], going: Sequence[PlacedFence], store: Point) -> list[Job]:
    from scipy.optimize import linear_sum_assignment

    n, m = len(coming), len(going)
    if not n + m:
        return []
    needs, haves = [equipment_of(f.fence) for f in coming], [equipment_of(f.fence) for f in going]
    shared = [[_shared(need, have) for have in haves] for need in needs]
    cost = np.zeros((n + m, n + m))
    for i, fence in enumerate(coming):
        fetched = math.dist(store, fence.pose.point)
        cost[i, m:] = needs[i].loads * fetched
        for j, was in enumerate(going):
            away = math.dist(was.pose.point, store)
            cost[i, j] = (
                shared[i][j] * math.dist(was.pose.point, fence.pose.point)
                + (needs[i].loads - shared[i][j]) * fetched
                + (haves[j].loads - shared[i][j]) * away
            )
    for j, was in enumerate(going):
        cost[n:, j] = haves[j].loads * math.dist(was.pose.point, store)
    rows, columns = linear_sum_assignment(cost)
    out: list[Job] = []
    for i, j in zip(rows.tolist(), columns.tolist(), strict=True):
        if i < n and j < m and shared[i][j]:
            out.append(_move(coming[i], going[j], needs[i], shared[i][j]))
            left = haves[j].loads - shared[i][j]
            if left:
                out.append(_clear(going[j], store, left))
        elif i < n:
            fence = coming[i]
            out.append(Job("fetch", fence.name, "", store, fence.pose.point, needs[i].loads, 0))
            if j < m:
                out.append(_clear(going[j], store, haves[j].loads))
        elif j < m:
            out.append(_clear(going[j], store, haves[j].loads))
    return out


def _move(fence: PlacedFence, was: PlacedFence, need: Equipment, shared: int) -> Job:
    rest = need.loads - shared
    return Job("move", fence.name, was.name, was.pose.point, fence.pose.point, shared, rest)


def _clear(was: PlacedFence, store: Point, loads: int) -> Job:
    return Job("clear", "", was.name, was.pose.point, store, loads, 0)


def _shared(need: Equipment, have: Equipment) -> int:
    """Loads of one fence that serve for another."""

    def least(one: dict, other: dict) -> dict:  # type: ignore[type-arg]
        return {key: min(n, other.get(key, 0)) for key, n in one.items()}

    return Equipment(
        least(need.poles, have.poles),
        least(need.planks, have.planks),
        least(need.fillers, have.fillers),
        min(need.standards, have.standards),
        min(need.gates, have.gates),
        min(need.walls, have.walls),
        min(need.blocks, have.blocks),
    ).loads


def in_order(change: Alteration, fences: Sequence[str]) -> tuple[Job, ...]:
    """The jobs in the order in which fences are set, what is only cleared away first; each with
    the old fences that must be taken down before it can be done."""
    order = {name: n for n, name in enumerate(fences)}
    jobs = sorted(change.jobs, key=lambda job: order.get(job.fence, -1))
    down: set[str] = set()
    out = []
    for job in jobs:
        first = tuple(name for name in change.blocked.get(job.fence, ()) if name not in down)
        down |= {*first, job.old}
        out.append(replace(job, first=first))
    return tuple(out)


def _blocked(jobs: Sequence[Job], old: Plan, new: Plan) -> dict[str, tuple[str, ...]]:
    """For each fence to be set, the old ones that stand in its place and are not its own."""
    out = {}
    for job in jobs:
        if not job.fence:
            continue
        fence = new.fence(job.fence)
        others = dict.fromkeys(other.old for other in jobs if other.old not in ("", job.old))
        out[job.fence] = tuple(
            name
            for name in others
            if math.dist(old.fence(name).pose.point, fence.pose.point)
            < old.fence(name).reach_m + fence.reach_m
        )
    return out


def old_marks(old: Plan, new: Plan, stays: dict[str, str]) -> dict[str, Point]:
    """Feet of the fences that stay, by their new names, where they stand in fact."""
    out: dict[str, Point] = {}
    for name, was in stays.items():
        feet = old.fence(was).feet
        fence = new.fence(name)
        for foot in feet_of(fence, as_first_jumped(new, fence)):
            out[foot.name] = min(feet, key=lambda at: math.dist(at, foot.point))
    return out
