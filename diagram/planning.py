"""The plan: everything about one exercise, worked out once and frozen.

What is printed, checked, set out or written down reads this value and nothing before it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity, near
from diagram.exercise.arena import POST_M, Arena
from diagram.exercise.course import Course, Link
from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import PlacedFence
from diagram.exercise.inventory import Store
from diagram.exercise.legs import ResolvedLeg, Shape
from diagram.exercise.read_exercise import read_exercises
from diagram.exercise.terms import Terms
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Point, Pose
from diagram.model.definition import Definition
from diagram.model.said import Lead
from diagram.path.limits import Limits, limits_for
from diagram.path.line import Crossing, Leg, ended_apart, ridden_line
from diagram.path.measures import SAME_RADIUS_M, Tightness, straight_after, tightness
from diagram.path.other_way import OtherWay, other_way
from diagram.path.room import Room
from diagram.path.turns_short import Bounds, ridden_short, stopped_ways
from diagram.placing.arrange import arrange
from diagram.placing.outcome import Layout, Shortage
from diagram.placing.posing import PosedExercise, set_up
from diagram.ride import Clock, Efforts, OnAnAngle, Ridden, angled, clock, efforts, ride_legs
from diagram.ride.clock import speed_for
from diagram.source import Document
from diagram.trade import jumping
from diagram.trade.distances import Distance, RidesAs
from diagram.trade.figures import Figure
from diagram.trade.riding import riding
from diagram.trade.words import Gait


class SecondWay(Struct, frozen=True):
    """The same bend in another number of strides: its line and how that rides."""

    strides: int
    way: OtherWay
    asked: Distance
    rides: RidesAs


MOSTLY = 0.6
"""Share of a way in canter from which on its strides say how long it is."""


class PlanLeg(Struct, frozen=True):
    """One leg of the ride, with all that is known of it.

    `resolved` is what is asked of it, `target_m` the length it was to have;
    `rides` how the track as drawn will ride, where it is short enough to count. `angled` is
    what an angle does to the fence at its end, None where that is jumped straight.
    """

    number: int
    resolved: ResolvedLeg
    first: Crossing | None
    second: Crossing | None
    curve: Curve
    ridden: Ridden
    rides: RidesAs | None
    angled: OnAnAngle | None = None
    others: tuple[SecondWay, ...] = ()

    @property
    def link(self) -> Link:
        """The way as it is written."""
        return self.resolved.link

    @property
    def shape(self) -> Shape:
        """What kind of way it is."""
        return self.resolved.shape

    @property
    def asked(self) -> Distance | None:
        """The distance that its strides ask for."""
        return self.resolved.asked

    @property
    def target_m(self) -> float | None:
        """Metres that it was to have, by its strides or as written."""
        return self.resolved.target_m

    @property
    def strides(self) -> int | None:
        """Strides said in the file."""
        return self.link.way.strides if self.link.way else None

    @property
    def track_m(self) -> float:
        """Metres along the track, base to base."""
        return self.curve.length

    @property
    def straight_m(self) -> float:
        """Metres between its ends as a tape runs."""
        return math.dist(self.curve.start.point, self.curve.end.point)

    def tightness(self, limits: Limits) -> Tightness:
        """The tightest circle gone round, in the gait that is turned in."""
        return tightness(self.curve, limits.for_gait(self.turning_gait).stride_m)

    @property
    def turning_gait(self) -> Gait:
        """The gait of its turns: the one it comes back to where it is straight until then."""
        first, *others = self.ridden.stretches
        back = bool(others) and self.link.second is not None and others[0].gait != "halt"
        straight = straight_after(self.curve) + SAME_RADIUS_M
        return others[0].gait if back and others[0].begin_m <= straight else first.gait

    @property
    def min_radius_m(self) -> float:
        """Smallest radius; infinity for a straight line."""
        return self.curve.min_radius

    @property
    def seconds(self) -> float:
        """Time for the leg."""
        return self.ridden.seconds

    @property
    def lead(self) -> Lead | None:
        """Lead carried on the leg; None where it is not cantered or not said."""
        return self.ridden.lead

    @property
    def about(self) -> int | None:
        """Strides of canter on the way, where most of it is cantered: what is left of a way that
        is mostly trotted says nothing of how long it is."""
        cantered = sum(s.length_m for s in self.ridden.stretches if s.gait == "canter")
        return (self.ridden.strides or None) if cantered >= MOSTLY * self.track_m else None

    @property
    def comes_back(self) -> bool:
        """Whether it comes to the next fence in another gait than it left the last one in."""
        return self.link.arrives != self.resolved.gait

    @property
    def lead_told(self) -> Lead | None:
        """The lead that is to be ridden; None where the one carried is against the turn that
        follows, and the file neither asks for it nor for a change."""
        said = self.first is None or self.first.jump.land is not None
        meant = self.link.way is not None and self.link.way.counter
        changed = any(change.kind is not None for change in self.ridden.changes)
        fits = self.ridden.hand in (None, self.lead)
        return self.lead if said or meant or changed or fits else None

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where in the file the leg is written."""
        return self.link.path


class Totals(Struct, frozen=True):
    """The ride in figures. `efforts` are fences jumped, poles on the ground not counted.

    `seconds` count the ground under the fences too, at the speed of the canter.
    """

    track_m: float
    seconds: float
    jumps: int
    efforts: int
    left_turns: int
    right_turns: int
    clock: Clock
    work: Efforts


class RideBeside(Struct, frozen=True):
    """Another ride that goes at the same time: its name, and points along each of its legs."""

    name: str
    legs: tuple[tuple[Point, ...], ...]


ALONG_M = 0.5


def curve_points(curve: Curve) -> tuple[Point, ...]:
    """Points along a curve, half a metre apart."""
    return tuple((float(x), float(y)) for x, y in curve.points(ALONG_M))


class Plan(Struct, frozen=True, dict=True):
    """A whole exercise, placed and ridden.

    `standing` are fences of other exercises that stand there as well, in a lesson.
    """

    exercise: Exercise
    limits: Limits
    layout: Layout
    fences: tuple[PlacedFence, ...]
    crossings: tuple[Crossing, ...]
    legs: tuple[PlanLeg, ...]
    totals: Totals
    findings: tuple[Diagnostic, ...] = ()
    beside: tuple[RideBeside, ...] = ()
    standing: tuple[PlacedFence, ...] = ()
    shown_by: Callable[[Plan], str] | None = None

    @property
    def name(self) -> str:
        """Name of the ride, where its file has several."""
        return self.exercise.name

    @property
    def title(self) -> str:
        """Title of the exercise, with the name of the ride where its file has several."""
        own = self.definition.title
        return f"{own}: {self.name}" if self.name else own

    @property
    def document(self) -> Document:
        """The file."""
        return self.exercise.document

    @property
    def definition(self) -> Definition:
        """The exercise as written."""
        return self.exercise.definition

    @property
    def arena(self) -> Arena:
        """Where it stands."""
        return self.exercise.arena

    @property
    def terms(self) -> Terms:
        """Horses, stride table and conditions."""
        return self.exercise.terms

    @property
    def course(self) -> Course:
        """The ride as it is written."""
        return self.exercise.course

    @property
    def store(self) -> Store | None:
        """What the yard owns, where it says so."""
        return self.exercise.store

    def _repr_svg_(self) -> str | None:
        """How a notebook shows the plan; `shown_by` draws, since drawing lies further down."""
        return self.shown_by(self) if self.shown_by else None

    @property
    def room(self) -> Room:
        """Where a track may go: the arena less the fences."""
        return room_of(self.arena, self.fences)

    def fence(self, name: str) -> PlacedFence:
        """A fence by name. Raises KeyError."""
        return self._by_name[name]

    @cached_property
    def _by_name(self) -> dict[str, PlacedFence]:
        return {fence.name: fence for fence in self.fences}

    @cached_property
    def first_jumps(self) -> dict[str, Crossing]:
        """The first jump over each fence that is jumped."""
        return {crossing.jump.fence: crossing for crossing in reversed(self.crossings)}

    @cached_property
    def both_ways(self) -> frozenset[str]:
        """Fences jumped from either side."""
        sides = {(one.jump.fence, one.jump.from_behind) for one in self.crossings}
        return frozenset(fence for fence, behind in sides if (fence, not behind) in sides)

    @cached_property
    def spreads_both_ways(self) -> frozenset[str]:
        """Those of them that are spreads and built for it."""
        return frozenset(
            placed.name for placed in self.fences
            if placed.name in self.both_ways
            and placed.fence.depth_m and placed.fence.facts.from_behind != "no"
        )  # fmt: skip

    def numbers(self) -> dict[str, tuple[str, ...]]:
        """For every fence, what the jumps over it are called; a pole that only places has none."""
        called: dict[str, list[str]] = {fence.name: [] for fence in self.fences}
        for crossing in self.crossings:
            if crossing.jump.label:
                called[crossing.jump.fence].append(crossing.jump.label)
        return {name: tuple(labels) for name, labels in called.items()}


def room_of(arena: Arena, fences: tuple[PlacedFence, ...], posts: bool = True) -> Room:
    """The arena less the fences and posts, as the track sees it."""
    stand = tuple(arena.obstacles.values()) if posts else ()
    spans = [*(fence.span for fence in fences), *((post, post) for post in stand)]
    a = np.array([span[0] for span in spans]).reshape(-1, 2)
    b = np.array([span[1] for span in spans]).reshape(-1, 2)
    thick = np.array([fence.fence.half_thick_m for fence in fences] + [POST_M] * len(stand))
    return Room(arena.region, a, b, thick)


def make_plan(document: Document, definition: Definition, ride: str = "") -> Plan:
    """Work out the plan of the ride that is named, or of the first.

    Raises RejectedError with every error that stops it, and for a ride that is not there.
    """
    plans = make_plans(document, definition)
    if not ride:
        return plans[0]
    found = next((plan for plan in plans if plan.name == ride), None)
    if found is None:
        names = [plan.name for plan in plans if plan.name]
        hint = near(ride, names) if names else "this file has one ride, and no name for it"
        problem = Diagnostic("ride", Severity.ERROR, f'no ride is called "{ride}"', None, hint)
        raise RejectedError([problem], {document.name: document.text})
    return found


def make_plans(document: Document, definition: Definition) -> tuple[Plan, ...]:
    """Work out a plan for every ride over the same fences. Raises RejectedError."""
    setting = read_setting(document, definition)
    lines: Lines = {}
    bounds: list[Bounds] = [{} for _ in setting.rides]
    layout = arrange(setting, judge=lambda *seen: _turns_short(setting, lines, bounds, *seen))
    return plans_of(setting, layout, lines)


Lines = dict[tuple[int, tuple[tuple[str, Pose], ...]], tuple[Leg, ...]]
"""Legs of rides over fences that stand where they were judged, by number of the ride and poses."""


def _turns_short(
    setting: PosedExercise, lines: Lines, bounds: list[Bounds], poses: dict[str, Pose], most: float
) -> float:
    short = 0.0
    for number, ride in enumerate(setting.rides):
        placed = _placed(setting, ride, poses)
        room = room_of(setting.arena, tuple(placed.values()))
        ridden = ridden_short(ride, placed, room, ride.limits, most - short, bounds[number])
        short += ridden.short_m
        if ridden.legs is not None:
            lines[number, _stand(placed)] = ridden.legs
    return short


def _placed(
    setting: PosedExercise, ride: PosedExercise, poses: dict[str, Pose]
) -> dict[str, PlacedFence]:
    places = setting.pinned.place(poses)
    return {name: ride.fences[name].at(fence.pose) for name, fence in places.items()}


def _stand(placed: dict[str, PlacedFence]) -> tuple[tuple[str, Pose], ...]:
    return tuple((name, fence.pose) for name, fence in placed.items())


def read_setting(document: Document, definition: Definition) -> PosedExercise:
    """All that decides where fences stand. Raises RejectedError with every error in it."""
    (first, *others), problems = read_exercises(document, definition)
    rest = [(other, limits_for(other.terms.horses)) for other in others]
    setting, misplaced = set_up(first, limits_for(first.terms.horses), rest)
    problems += misplaced
    if problems:
        raise RejectedError(problems, {document.name: document.text})
    return setting


def plans_of(
    setting: PosedExercise, layout: Layout, lines: Lines | None = None
) -> tuple[Plan, ...]:
    """The plan of every ride, over fences that stand as `layout` says; `lines` are those that are
    known already."""
    plans = []
    for number, ride in enumerate(setting.rides):
        placed = _placed(setting, ride, layout.poses)
        known = (lines or {}).get((number, _stand(placed)))
        plans.append(_ridden_plan(ride, ride.limits, layout, placed, known))
    stopped = _stopped(setting, layout, plans)
    if stopped:
        told = replace(layout, outcome="does not fit this arena", shortages=stopped)
        plans = [replace(plan, layout=told) for plan in plans]
    if setting.whole.rides_go == "in turn":
        return tuple(plans)
    tracks = [
        RideBeside(plan.name, tuple(curve_points(leg.curve) for leg in plan.legs)) for plan in plans
    ]
    return tuple(
        replace(plan, beside=tuple(track for track in tracks if track.name != plan.name))
        for plan in plans
    )


def _stopped(setting: PosedExercise, layout: Layout, plans: list[Plan]) -> tuple[Shortage, ...]:
    """Ways that the checks would stop, of fences whose places were worked out: then these do not
    fit, whatever equations hold."""
    if not layout.outcome.startswith("placed") or layout.outcome == "placed as pinned":
        return ()
    worst: dict[str, Shortage] = {}
    for plan in plans:
        placed = {fence.name: fence for fence in plan.fences}
        free = [leg for leg in plan.legs if _some_free(setting, leg)]
        legs = tuple(Leg(leg.resolved, leg.curve) for leg in free)
        for way in stopped_ways(plan.exercise, placed, plan.room, plan.limits, legs):
            worst.setdefault(way.words, Shortage(way.words, way.path, way.short_m, way.tight))
    return tuple(worst.values())


def _some_free(setting: PosedExercise, leg: PlanLeg) -> bool:
    ends = [crossing.fence.fence for crossing in (leg.first, leg.second) if crossing]
    return any((end.whole or end.name) not in setting.pinned.poses for end in ends)


def plan_of(setting: PosedExercise, layout: Layout) -> Plan:
    """The plan of the first ride, over fences that stand as `layout` says."""
    return plans_of(setting, layout)[0]


def plan_of_places(
    plan: Plan, poses: Mapping[str, Pose], targets: Mapping[Link, float] | None = None
) -> Plan:
    """The same exercise ridden over fences that stand elsewhere: where `poses` says, by name.

    `targets` are lengths in metres that bends are ridden in, in place of those that their
    strides ask for. Nothing is checked. Raises KeyError for a fence that is not there.
    """
    placed = {fence.name: fence for fence in plan.fences}
    placed |= {name: placed[name].fence.at(pose) for name, pose in poses.items()}
    instead = targets or {}
    legs = tuple(
        replace(leg, target_m=instead.get(leg.link, leg.target_m)) for leg in plan.exercise.legs
    )
    return _ridden_plan(replace(plan.exercise, legs=legs), plan.limits, plan.layout, placed)


def _ridden_plan(
    exercise: Exercise, limits: Limits, layout: Layout, placed: dict[str, PlacedFence],
    known: tuple[Leg, ...] | None = None,
) -> Plan:  # fmt: skip
    definition, course = exercise.definition, exercise.course
    fences = tuple(placed.values())
    crossings = tuple(Crossing(jump, placed[jump.fence]) for jump in course.jumps)
    room = room_of(exercise.arena, fences)
    legs = known or ridden_line(exercise, crossings, room, limits)
    legs = ended_apart(legs, course, room, limits)
    tallest = max((fence.fence.measures.height_m for fence in fences), default=0.0)
    speed = speed_for(definition.speed, definition.level or tallest)
    ridden = ride_legs(course, legs, limits, exercise.terms.horses, speed.value)
    by_number = {c.jump.number: c for c in crossings}
    plan_legs = tuple(
        PlanLeg(
            number=n,
            resolved=leg.resolved,
            first=by_number[leg.link.first.number] if leg.link.first else None,
            second=by_number[leg.link.second.number] if leg.link.second else None,
            curve=leg.curve,
            ridden=how,
            rides=_rides(leg),
            angled=angled(by_number[leg.link.second.number] if leg.link.second else None),
            others=_others(leg, by_number, limits),
        )
        for n, (leg, how) in enumerate(zip(legs, ridden, strict=True))
    )
    totals = _totals(plan_legs, crossings, definition, speed)
    return Plan(exercise, limits, layout, fences, crossings, plan_legs, totals)


COUNTED_M = 45.0
"""Metres. Beyond eleven strides nobody counts (common practice, no source)."""


def _rides(leg: Leg) -> RidesAs | None:
    link = leg.link
    if link.first is None or link.second is None or leg.length_m > COUNTED_M:
        return None
    if link.way is not None and (link.way.shape == "turn" or link.way.transition):
        return None
    return leg.resolved.rides_as(leg.length_m)


def _others(leg: Leg, crossings: Mapping[int, Crossing], limits: Limits) -> tuple[SecondWay, ...]:
    link, count, out = leg.link, leg.resolved.count, []
    if count is None or link.way is None or link.first is None or link.second is None:
        return ()
    first, second = crossings[link.first.number], crossings[link.second.number]
    own = limits.for_gait(leg.resolved.gait)
    for other in leg.resolved.others:
        shorter = other.strides < count.strides
        aim_m = other.target_m
        if link.way.shape == "line":
            found: OtherWay | None = OtherWay(leg.curve, 0.0)
        else:
            found = other_way(first, second, bool(link.way.left), aim_m, shorter, own)
        if found is not None:
            rides = leg.resolved.rides_as(found.curve.length)
            out.append(SecondWay(other.strides, found, other.asked, rides))
    return tuple(out)


def _timed(legs: tuple[PlanLeg, ...], crossings: tuple[Crossing, ...]) -> float | None:
    """Metres from the start line to the finish line; None where no time is allowed.

    A ride is timed that is cantered throughout over so many fences as make a course.
    """
    first, *between, last = legs
    numbered = {c.jump.path for c in crossings if c.jump.label}
    gaits = {stretch.gait for leg in (first, *between) for stretch in leg.ridden.stretches}
    circles = any(leg.link.circles for leg in (first, *between))
    if len(numbered) < jumping.fewest_timed() or gaits != {"canter"} or circles:
        return None
    most = jumping.timed_lines().high
    ends = min(first.track_m, most) + min(last.track_m, most)
    return ends + sum(leg.track_m for leg in between) + sum(c.depth_m for c in crossings)


def _totals(
    legs: tuple[PlanLeg, ...],
    crossings: tuple[Crossing, ...],
    definition: Definition,
    speed: Figure,
) -> Totals:
    counted = riding().turns.counted.value
    turns = [turn for leg in legs for turn in leg.ridden.turns if abs(turn.angle) > counted]
    under = sum(c.depth_m for c in crossings)
    track = sum(leg.track_m for leg in legs) + under
    jumped = sum(not c.fence.fence.kind.ridden_over for c in crossings)
    return Totals(
        track_m=track,
        seconds=sum(leg.seconds for leg in legs) + under / speed.value,
        jumps=sum(bool(c.jump.label) for c in crossings),
        efforts=jumped,
        left_turns=sum(turn.hand == "left" for turn in turns),
        right_turns=sum(turn.hand == "right" for turn in turns),
        clock=clock(_timed(legs, crossings), speed),
        work=efforts(jumped, definition.rounds, definition.riders),
    )
