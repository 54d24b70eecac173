"""Everything that a crew is told about one exercise, worked out once and frozen.

Fences come in the order in which the leaf sets them, line by line. The sheet, its CSV and its JSON
read this value and reckon nothing of their own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from diagram.exercise.equipment import Equipment, equipment_of, in_all
from diagram.exercise.fence import PlacedFence
from diagram.exercise.inventory import Store, TooFew, missing_from
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan
from diagram.stakeout.choosing import choose
from diagram.stakeout.crew import Crew
from diagram.stakeout.known import TWO_SIGMA, Known
from diagram.stakeout.leaf import Leaf, leaf_of
from diagram.stakeout.lines import TapedLine, taped_lines
from diagram.stakeout.moving import Alteration, Job, change_between, in_order, old_marks
from diagram.stakeout.points import Foot, as_first_jumped, feet_of, fixed_points, row_places
from diagram.stakeout.rounding import Readings, Rounded, line_errors, round_together
from diagram.stakeout.shortage import StandIn, stocked_plan
from diagram.stakeout.sides import side_ahead
from diagram.stakeout.ways import FootWays


class FootSetting(Struct, frozen=True):
    """One foot: both ways to it, and the readings as rounded, in metres.

    `side` is the side of the arena that it points to from the middle of the fence. In 95 of 100
    settings it stands within `tapes_within_m` or `offset_within_m`, rounding included;
    `tapes_reach` says that neither tape is longer than a tape is.
    """

    ways: FootWays
    tapes: Readings
    offset: Readings | None
    side: str
    tapes_within_m: float
    offset_within_m: float
    tapes_reach: bool


class FenceSetting(Struct, frozen=True):
    """One fence of the sheet. `step` counts the work from 1.

    `comes_from` is the side that the horse comes from when the fence is first jumped;
    `both_ways` says that it is jumped from the other side as well. `job` is the carrying to it
    when the arena is not empty.
    """

    step: int
    placed: PlacedFence
    feet: tuple[FootSetting, ...]
    equipment: Equipment
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


class LineSetting(Struct, frozen=True):
    """A line, and by how many metres rounding makes it longer: set the better way, and the
    most of all ways in which its fences may be set."""

    line: TapedLine
    as_set_m: float
    most_m: float


class SettingOut(Struct, frozen=True):
    """The whole sheet. `fixed` are all fixed points of the arena, `places` where the rounded
    readings put every foot, `standing` the feet of fences that are left where they are. Equipment
    comes from `store_name`. `after` is the exercise that stands there now; as many as `pegs_before`
    pegs of earlier leaves may be in the ground.
    """

    plan: Plan
    crew: Crew
    leaf: Leaf
    fixed: dict[str, Point]
    fences: tuple[FenceSetting, ...]
    lines: tuple[LineSetting, ...]
    places: dict[str, Point]
    standing: dict[str, Point]
    store_name: str
    total: Equipment
    store: Store | None
    stand_ins: tuple[StandIn, ...]
    shortages: tuple[TooFew, ...]
    change: Alteration | None = None
    jobs: tuple[Job, ...] = ()
    after: Plan | None = None
    pegs_before: int = 0

    @property
    def stays(self) -> dict[str, str]:
        """Fences that are left where they are: new name to old name."""
        return dict(self.change.stays) if self.change else {}

    @property
    def pegs_so_far(self) -> int:
        """The number of the last peg of this leaf and those before it."""
        return self.pegs_before + len(self.leaf.pegs)

    def row_middles(self, fence: str) -> dict[str, Point]:
        """The planned middle of each row of a fence, by the name a crew has for it."""
        places = row_places(self.plan, self.plan.fence(fence))
        return {row.name: at for row, at in places.items()}


def set_out(
    plan: Plan, crew: Crew, store: Store | None = None, after: Plan | None = None,
    pegs_before: int | None = None,
) -> SettingOut:  # fmt: skip
    """How a crew sets up `plan`: in an empty arena, or `after` another exercise in the same.

    `pegs_before` are those of the leaves before, which may still be in the ground; where it is not
    given, those of a leaf of `after` alone. Where the store has too few poles of a length, the plan
    is made again with others. Raises
    ValueError for a store that is no fixed point, and for two different arenas.
    """
    plan, stand_ins = stocked_plan(plan, store)
    fixed = fixed_points(plan.arena)
    name, at = _store(plan, crew, fixed)
    lines = taped_lines(plan)
    if pegs_before is None:
        pegs_before = _pegs_of(after, crew, store) if after is not None else 0
    change = change_between(after, plan, at, crew.units) if after is not None else None
    leaf = leaf_of(plan, lines, crew, _left_standing(plan, after, change), pegs_before)
    order = [taped.placed for taped in leaf.fences]
    jobs = in_order(change, [fence.name for fence in order]) if change else ()
    standing = old_marks(after, plan, change.stays) if change and after else {}
    # What stands, stands: the new fences are to be right from there. The leaf's pegs serve too.
    marks = _marks(leaf, standing, crew)
    ways = choose([_feet(plan, fence) for fence in order], plan.arena, crew, marks)
    known = {**fixed, **{peg.name: peg.at for peg in leaf.pegs}}
    rounded = round_together(ways, lines, known, crew.rounding, standing, _told(leaf))
    places = rounded.feet({way.foot.name: way.best for way in ways})
    total = in_all(equipment_of(fence.fence) for fence in plan.fences)
    return SettingOut(
        plan=plan,
        crew=crew,
        leaf=leaf,
        fixed=fixed,
        fences=tuple(_settings(plan, order, jobs, ways, rounded, crew)),
        lines=tuple(
            LineSetting(line, *line_errors(rounded, ways, line))
            for line in lines
            if {line.start.fence, line.end.fence} & {fence.name for fence in order}
        ),
        places=places,
        standing=standing,
        store_name=name,
        total=total,
        store=store,
        stand_ins=stand_ins,
        shortages=missing_from(store, (fence.fence for fence in plan.fences)),
        change=change,
        jobs=jobs,
        after=after,
        pegs_before=pegs_before,
    )


def _pegs_of(plan: Plan, crew: Crew, store: Store | None) -> int:
    """How many pegs the leaf of a plan has in an empty arena."""
    plan, _ = stocked_plan(plan, store)
    return len(leaf_of(plan, taped_lines(plan), crew).pegs)


def _left_standing(plan: Plan, after: Plan | None, change: Alteration | None) -> dict[str, Pose]:
    """The fences that stay, by their new names, where they stand, as they are first jumped now."""
    if after is None or change is None:
        return {}
    out = {}
    for name, was in change.stays.items():
        faces, there = as_first_jumped(plan, plan.fence(name)), after.fence(was).pose
        turned = math.cos(there.heading - faces.heading) < 0
        out[name] = there.reversed() if turned else there
    return out


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


def _told(leaf: Leaf) -> dict[tuple[str, str], float]:
    """What the leaf reads at a foot, from a mark: the check must not say another inch."""
    return {
        (end, reading.start): read
        for fence in leaf.fences
        for reading in fence.readings
        for end, read in zip(reading.ends, reading.read_m, strict=True)
    }


def _marks(leaf: Leaf, standing: Mapping[str, Point], crew: Crew) -> list[Known]:
    """Feet that stand, and the pegs, each off along its rail by the readings that set it."""
    still = np.zeros((2, len(leaf.pegs)))
    out = [Known(name, at, still) for name, at in standing.items()]
    for n, peg in enumerate(leaf.pegs):
        drift = still.copy()
        drift[:, n] = np.array(peg.along) * crew.tape_error * math.sqrt(peg.readings)
        out.append(Known(peg.name, peg.at, drift))
    return out


def _feet(plan: Plan, fence: PlacedFence) -> tuple[Foot, ...]:
    return feet_of(fence, as_first_jumped(plan, fence))


def _settings(
    plan: Plan,
    order: Sequence[PlacedFence],
    jobs: Sequence[Job],
    ways: Sequence[FootWays],
    rounded: Rounded,
    crew: Crew,
) -> list[FenceSetting]:
    by_fence = {job.fence: job for job in jobs if job.fence}
    out: list[FenceSetting] = []
    for number, placed in enumerate(order, 1):
        own = [way for way in ways if way.foot.fence == placed.name]
        job = by_fence.get(placed.name)
        out.append(
            FenceSetting(
                step=number,
                placed=placed,
                feet=tuple(_foot(way, rounded, placed, plan, crew) for way in own),
                equipment=equipment_of(placed.fence),
                comes_from=_comes_from(plan, placed),
                both_ways=_both_ways(plan, placed),
                job=job,
            )
        )
    return out


def _foot(
    way: FootWays, rounded: Rounded, placed: PlacedFence, plan: Plan, crew: Crew
) -> FootSetting:  # fmt: skip
    name, at = way.foot.name, way.foot.point
    offset = rounded.readings.get((name, "offset"))
    tapes = rounded.readings[name, "tapes"]
    pose = as_first_jumped(plan, placed)
    out = pose.turned(math.pi / 2 if way.foot.side == "left" else -math.pi / 2)
    return FootSetting(
        way, tapes, offset, side_ahead(plan.arena, pose.point, out.direction),
        TWO_SIGMA * way.tapes.error_m + math.dist(rounded.places[name, "tapes"], at),
        TWO_SIGMA * way.offset.error_m + math.dist(rounded.places[name, "offset"], at)
        if way.offset and offset else 0.0,
        not any(crew.joined(metres) for metres in tapes),
    )  # fmt: skip


def _comes_from(plan: Plan, placed: PlacedFence) -> str:
    """The side that faces the horse's back; what its line meets first may be another."""
    arena, back = plan.arena, as_first_jumped(plan, placed).reversed()
    return max(arena.sides, key=lambda side: round(math.cos(arena.outward(side) - back.heading), 9))


def _both_ways(plan: Plan, placed: PlacedFence) -> bool:
    jumps = {c.jump.from_behind for c in plan.crossings if c.jump.fence == placed.name}
    return len(jumps) > 1
