"""Everything that a crew is told about one exercise, worked out once and frozen.

The sheet, its CSV and its JSON read this value and reckon nothing of their own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.stakeout.choosing import choose
from diagram.stakeout.crew import Crew
from diagram.stakeout.equipment import Equipment, equipment_of, in_all
from diagram.stakeout.lines import TapedLine, taped_lines
from diagram.stakeout.moving import BetweenPlaces, Change, Job, change_between, old_marks
from diagram.stakeout.order import FromStore, best_order, total_cost
from diagram.stakeout.points import Foot, as_first_jumped, feet_of, fixed_points
from diagram.stakeout.rounding import Readings, Rounded, line_errors, round_together
from diagram.stakeout.shortage import Shortage, StandIn, shortages, stocked_plan
from diagram.stakeout.sides import side_ahead
from diagram.stakeout.store import Store
from diagram.stakeout.ties import ties_to
from diagram.stakeout.ways import FootWays, Mark, Tie


@dataclass(frozen=True)
class FootSetting:
    """One foot: both ways to it, and the readings as rounded, in metres."""

    ways: FootWays
    tapes: Readings
    offset: Readings | None


@dataclass(frozen=True)
class FenceSetting:
    """One fence of the sheet. `step` counts the work from 1.

    `comes_from` is the side that the horse comes from when the fence is first jumped;
    `both_ways` says that it is jumped from the other side as well. `job` is the carrying to it
    when the arena is not empty.
    """

    step: int
    placed: PlacedFence
    feet: tuple[FootSetting, ...]
    equipment: Equipment
    ties: tuple[Tie, ...]
    comes_from: str
    both_ways: bool
    job: Job | None = None

    @property
    def name(self) -> str:
        """The fence's name."""
        return self.placed.name

    @property
    def error_m(self) -> float:
        """Expected error of its worst foot, set the better way."""
        return max(foot.ways.error_m for foot in self.feet)

    @property
    def weak(self) -> bool:
        """Whether a pair of tapes that is used crosses too flat to be trusted alone."""
        return any(foot.ways.tapes.weak and foot.ways.best == "tapes" for foot in self.feet)


@dataclass(frozen=True)
class LineSetting:
    """A line, and by how many metres rounding makes it longer: set the better way, and the
    most of all ways in which its fences may be set."""

    line: TapedLine
    as_set_m: float
    most_m: float


@dataclass(frozen=True)
class Walk:
    """Metres that the crew walks in the order of work, and in the order of the file."""

    metres: float
    as_written_m: float
    store_name: str


@dataclass(frozen=True)
class SettingOut:
    """The whole sheet. `fixed` are all fixed points of the arena, `places` where the rounded
    readings put every foot, `standing` the feet of fences that are left where they are. `after`
    is the exercise that stands there now.
    """

    plan: Plan
    crew: Crew
    fixed: dict[str, Point]
    fences: tuple[FenceSetting, ...]
    lines: tuple[LineSetting, ...]
    places: dict[str, Point]
    standing: dict[str, Point]
    walk: Walk
    total: Equipment
    store: Store | None
    stand_ins: tuple[StandIn, ...]
    shortages: tuple[Shortage, ...]
    change: Change | None = None
    jobs: tuple[Job, ...] = ()
    after: Plan | None = None

    def used_points(self) -> dict[str, Point]:
        """Fixed points that a tape or a baseline of the sheet begins at, in their order."""
        used: set[str] = set()
        for fence in self.fences:
            for foot in fence.feet:
                used |= {foot.ways.tapes.first, foot.ways.tapes.second}
                if foot.ways.offset:
                    used.add(foot.ways.offset.zero)
                if foot.ways.third:
                    used.add(foot.ways.third.start)
            used |= {tie.start for tie in fence.ties}
        return {name: at for name, at in self.fixed.items() if name in used}


def set_out(
    plan: Plan, crew: Crew, store: Store | None = None, after: Plan | None = None
) -> SettingOut:
    """How a crew sets up `plan`: in an empty arena, or `after` another exercise in the same.

    Where the store has too few poles of a length, the plan is made again with others. Raises
    ValueError for a store that is no fixed point, and for two different arenas.
    """
    plan, stand_ins = stocked_plan(plan, store)
    fixed = fixed_points(plan.arena)
    name, at = _store(plan, crew, fixed)
    change, order, jobs, walk = _work(plan, crew, (name, at), after)
    standing = old_marks(after, plan, change.stays) if change and after else {}
    # What stands, stands: the new fences are to be right from there.
    marks = [Mark(foot, place, np.zeros((2, 0))) for foot, place in standing.items()]
    ways = choose([_feet(plan, fence) for fence in order], plan.arena, crew, marks)
    lines = taped_lines(plan)
    rounded = round_together(ways, lines, fixed, crew.rounding, standing)
    places = rounded.feet({way.foot.name: way.best for way in ways})
    total = in_all(equipment_of(fence) for fence in plan.fences)
    return SettingOut(
        plan=plan,
        crew=crew,
        fixed=fixed,
        fences=tuple(_settings(plan, order, jobs, ways, rounded, places, fixed, crew, standing)),
        lines=tuple(
            LineSetting(line, *line_errors(rounded, ways, line))
            for line in lines
            if {line.start.fence, line.end.fence} & {fence.name for fence in order}
        ),
        places=places,
        standing=standing,
        walk=walk,
        total=total,
        store=store,
        stand_ins=stand_ins,
        shortages=shortages(total, store, crew.units),
        change=change,
        jobs=jobs,
        after=after,
    )


def _store(plan: Plan, crew: Crew, fixed: Mapping[str, Point]) -> tuple[str, Point]:
    """Where equipment is carried from: the point said, the gate, or the first corner."""
    if crew.store:
        if crew.store == "gate" and plan.arena.gate:
            return "gate", plan.arena.gate.middle
        if crew.store not in fixed:
            known = ", ".join(fixed)
            raise ValueError(f'nothing in this arena is called "{crew.store}"; there are {known}')
        return crew.store, fixed[crew.store]
    if plan.arena.gate:
        return "gate", plan.arena.gate.middle
    return next(iter(fixed.items()))


def _work(
    plan: Plan, crew: Crew, store: tuple[str, Point], after: Plan | None
) -> tuple[Change | None, list[PlacedFence], tuple[Job, ...], Walk]:
    """The fences to be set in the order of work, and the walking."""
    name, at = store
    if after is not None:
        change = change_between(after, plan, at, crew.units)
        moving = BetweenPlaces(change.jobs, change.blocked, at, crew.people)
        order = best_order(len(change.jobs), moving)
        jobs = tuple(change.jobs[n] for n in order)
        walked = total_cost(order, moving)
        written = total_cost(range(len(change.jobs)), moving)
        fences = [plan.fence(job.fence) for job in jobs if job.fence]
        return change, fences, jobs, Walk(walked, written, name)
    wholes = _wholes(plan)
    setting_up = FromStore(
        at,
        tuple(_middle(fences) for fences in wholes),
        tuple(in_all(equipment_of(f) for f in fences).loads for fences in wholes),
        crew.people,
    )
    order = best_order(len(wholes), setting_up)
    walked, written = (total_cost(way, setting_up) for way in (order, tuple(range(len(wholes)))))
    return None, [f for n in order for f in wholes[n]], (), Walk(walked, written, name)


def _wholes(plan: Plan) -> list[list[PlacedFence]]:
    """Fences as they stand in the file: a combination is built in one go, first element first."""
    out: dict[str, list[PlacedFence]] = {}
    for fence in plan.fences:
        out.setdefault(fence.fence.whole or fence.name, []).append(fence)
    return list(out.values())


def _middle(fences: Sequence[PlacedFence]) -> Point:
    return (
        sum(f.pose.x for f in fences) / len(fences),
        sum(f.pose.y for f in fences) / len(fences),
    )


def _feet(plan: Plan, fence: PlacedFence) -> tuple[Foot, ...]:
    return feet_of(fence, as_first_jumped(plan, fence))


def _settings(
    plan: Plan,
    order: Sequence[PlacedFence],
    jobs: Sequence[Job],
    ways: Sequence[FootWays],
    rounded: Rounded,
    places: Mapping[str, Point],
    fixed: Mapping[str, Point],
    crew: Crew,
    standing: Mapping[str, Point],
) -> list[FenceSetting]:
    by_fence = {job.fence: job for job in jobs if job.fence}
    steps = {job: n for n, job in enumerate(jobs, 1)}
    stands = [foot for fence in plan.fences for foot in _feet(plan, fence) if foot.name in standing]
    out: list[FenceSetting] = []
    for number, placed in enumerate(order, 1):
        own = [way for way in ways if way.foot.fence == placed.name]
        job = by_fence.get(placed.name)
        out.append(
            FenceSetting(
                step=steps[job] if job else number,
                placed=placed,
                feet=tuple(
                    FootSetting(
                        way,
                        rounded.readings[way.foot.name, "tapes"],
                        rounded.readings.get((way.foot.name, "offset")),
                    )
                    for way in own
                ),
                equipment=equipment_of(placed),
                ties=ties_to(own, stands, fixed, places, crew),
                comes_from=_comes_from(plan, placed),
                both_ways=_both_ways(plan, placed),
                job=job,
            )
        )
        stands += [way.foot for way in own]
    return out


def _comes_from(plan: Plan, placed: PlacedFence) -> str:
    back = as_first_jumped(plan, placed).reversed()
    return side_ahead(plan.arena, back.point, back.direction)


def _both_ways(plan: Plan, placed: PlacedFence) -> bool:
    jumps = {c.jump.from_behind for c in plan.crossings if c.jump.fence == placed.name}
    return len(jumps) > 1
