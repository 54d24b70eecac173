"""How far a ride, ridden as it will be drawn, falls short of what its horses want.

Layouts stand a turn for two circles and a straight line, and a start or a finish for a few places.
Before one is taken, all of it is ridden and held against the limits of the horses, the rail and
the fences, by the measures that the checks use: so what is taken is found clean.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from diagram.exercise.arena import Arena
from diagram.exercise.course import Link
from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import PlacedFence
from diagram.exercise.legs import ResolvedLeg
from diagram.geometry.curve import Curve, Floats
from diagram.geometry.pose import Pose
from diagram.geometry.region import segment_distances
from diagram.path.limits import GaitLimits, Limits
from diagram.path.line import Crossing, Leg, last_hand, ridden_line
from diagram.path.measures import (
    SAME_RADIUS_M,
    SAME_STRIDE,
    bends_noticeably,
    straight_after,
    straight_before,
    straight_strides,
    tightness,
)  # fmt: skip
from diagram.path.room import FREE_AFTER, Room
from diagram.trade.limits import Limit
from diagram.trade.riding import riding

OPENED_OUT_RAD = riding().turns.opened_out.value
"""So far a rider may open out to the other hand; beyond that it is a turn on another lead."""
BACK_OUT_RAD = Limit("lead-against-the-turn", "opened out").value
"""So far before a turn back over the same fence, which cannot do with less."""
RUNS_INTO = Limit("fence-in-the-way", "runs into")
INTO_A_FENCE = Limit("fence-in-the-way", "stop under")
OVER_THE_RAIL = Limit("off-the-arena", "stop under")
APPROACH = Limit("approach-too-short", "wanted")
APPROACH_SLACK = Limit("approach-too-short", "slack")
BEHIND, BEHIND_LEAST, BEHIND_SLACK = (
    Limit("start-off-the-wall", key) for key in ("wanted", "least", "slack")
)
AGAINST_LEAD_M = 0.5
"""What a start to the other hand than its lead weighs: less than a broken limit, since a change of
lead before the fence mends it."""
OFF_THE_WALL_M, NEAR_THE_WALL_M = 0.5, 0.06
"""What a start weighs that has a rail close behind it, and one that has less than is wanted."""
BADLY_M = 0.75
"""Metres of radius, or to a rail or fence, that a ride may lack where its fences were laid out;
where it lacks more they do not fit (common practice, no source)."""
TRACK_SHORT_M = 0.05
"""Metres by which the ridden line may fall short of a limit before another layout is tried."""


class Judged(Struct, frozen=True):
    """A ride as it will be drawn: metres by which it falls short, all together, and its legs; none
    where it was not ridden to the end."""

    short_m: float
    legs: tuple[Leg, ...] | None


Way = tuple[int, Pose, Pose]
"""A way of a ride by its number and both ends."""
Bounds = dict[Way, dict[tuple[str, Pose] | None, float | None]]
"""Metres by which ways that fell short do so wherever all other fences stand: with none about, and
with one alone that was seen to be in the way; None where that has not been asked yet."""


def ridden_short(
    exercise: Exercise, placed: dict[str, PlacedFence], room: Room, limits: Limits,
    most: float = math.inf, bounds: Bounds | None = None,
) -> Judged:  # fmt: skip
    """How far the ways of a ride fall short of their limits.

    Starts and finishes, which take longest, are left out where the rest is `most` already. What is
    known to fall short by as much from rides over other places (`bounds`, which are added to) is
    not ridden, and counts as infinite.
    """
    return _Judge(exercise, placed, room, limits, {} if bounds is None else bounds).judged(most)


class _Judge(Struct, frozen=True, dict=True):
    exercise: Exercise
    placed: dict[str, PlacedFence]
    room: Room
    limits: Limits
    bounds: Bounds

    @cached_property
    def crossings(self) -> tuple[Crossing, ...]:
        return tuple(Crossing(jump, self.placed[jump.fence]) for jump in self.exercise.course.jumps)

    def judged(self, most: float) -> Judged:
        exercise, legs = self.exercise, self.exercise.legs
        if self._known(legs, most, False) or self._known(legs, most, True):
            return Judged(math.inf, None)
        begin = [leg for leg in legs if leg.link.first is None]
        end = [leg for leg in legs if leg.link.first and leg.link.second is None]
        between = self._ridden([leg for leg in legs if leg.link.first and leg.link.second], None)
        short = self._told(between)
        if short >= most:
            return Judged(short, None)
        start = self._ridden(begin, None)
        short += self._told(start)
        if short >= most:
            return Judged(short, None)
        left: bool | None = None
        for leg in start + between:
            land = leg.link.first.land if leg.link.first else None
            left = last_hand(leg.curve, land == "left" if land else left)
        finish = self._ridden(end, left)
        short += self._told(finish)
        ridden = {id(leg.resolved): leg for leg in start + between + finish}
        return Judged(short, tuple(ridden[id(leg)] for leg in exercise.legs))

    def _ridden(self, legs: list[ResolvedLeg], left: bool | None) -> tuple[Leg, ...]:
        return ridden_line(self.exercise, self.crossings, self.room, self.limits, legs, left)

    def _known(self, legs: tuple[ResolvedLeg, ...], most: float, ask: bool) -> bool:
        """Whether ways are known to fall short by `most` with the fences as they stand.

        To `ask`, those that fell short between the same places before are ridden alone, which
        takes less than to ride all. Designs come to the same places again, blind searches do not.
        """
        total = 0.0
        for leg in legs:
            found = self.bounds.get(self._key(leg), {})
            here = [by for by in found if by is None or self.placed[by[0]].pose == by[1]]
            worst = 0.0
            # With a fence in its way a way falls no less short than with none, which comes first.
            for by in here[1:] or here:
                short = found[by]
                if short is None and ask and total + worst < most:
                    short = found[by] = self._short_beside(leg, by[0] if by else None)
                worst = max(worst, short or 0.0)
            total += worst
        return total >= most

    def _key(self, leg: ResolvedLeg) -> Way:
        first, second = (
            Pose(0.0, 0.0, 0.0) if jump is None else self.placed[jump.fence].pose
            for jump in (leg.link.first, leg.link.second)
        )
        return self.exercise.legs.index(leg), first, second

    def _told(self, legs: tuple[Leg, ...]) -> float:
        total = 0.0
        for leg in legs:
            if leg.link.inner:
                continue
            short = self._short(leg, self.room)
            if short:
                total += short
                if leg.link.second is not None:
                    self._seen_short(leg)
        return total

    def _seen_short(self, leg: Leg) -> None:
        """Have it asked, when the way is come to again, by how much it falls short with no other
        fence about, and with the nearest alone if that is in its way."""
        found = self.bounds.setdefault(self._key(leg.resolved), {None: None})
        by = self._in_the_way(leg)
        if by is not None:
            found.setdefault((by.name, by.pose), None)

    def _short_beside(self, resolved: ResolvedLeg, fence: str | None) -> float:
        """By how much a way falls short with one fence alone about, or none."""
        placed = {fence: self.placed[fence]} if fence else {}
        ends = np.array([by.span for by in placed.values()]).reshape(-1, 2, 2)
        thick = np.array([by.fence.half_thick_m for by in placed.values()])
        room = Room(self.room.region, ends[:, 0], ends[:, 1], thick)
        judge = replace(self, room=room)
        (leg,) = judge._ridden([resolved], None)
        return replace(judge, placed=placed)._short(leg, room)

    def _in_the_way(self, leg: Leg) -> PlacedFence | None:
        """The fence that a way comes nearest to, if that is nearer than it should."""
        points = leg.curve.points(0.5)
        gaps = self._gaps(leg, self.room, points)[:, : len(self.placed)].min(axis=0)
        if not len(gaps):
            return None
        nearest = int(gaps.argmin())
        wanted = self.limits.for_leg(leg.resolved).manner.fences
        near = gaps[nearest] < wanted - TRACK_SHORT_M
        return tuple(self.placed.values())[nearest] if near else None

    def _short(self, leg: Leg, room: Room) -> float:
        """The most by which a way is too tight, too near something, or too little straight; for a
        start what is amiss with that as well."""
        limits = self.limits.for_leg(leg.resolved)
        manner, curve = limits.manner, leg.curve
        points = curve.points(0.5)
        short = max(
            manner.least_radius - tightness(curve, limits.stride_m).radius_m,
            manner.rail - float(room.region.inside(points).min()),
            manner.fences - self._past_fences(leg, room, points),
            _opened_out(leg) * manner.least_radius,
            _few_straight(leg, limits),
        )
        start = _start_short(leg, self.exercise, self.limits) if leg.link.first is None else 0.0
        return sum(metres for metres in (short, start) if metres > TRACK_SHORT_M)

    def _past_fences(self, leg: Leg, room: Room, points: Floats) -> float:
        """Metres to the nearest fence or post; near its ends a way is free of its own fences, and
        poles, which have no standards, are only not to be run into."""
        return float(self._gaps(leg, room, points).min(initial=math.inf))

    def _gaps(self, leg: Leg, room: Room, points: Floats) -> Floats:
        """Metres (N, m) from points (N, 2) of a way to each fence and post that is no end of it."""
        gaps = segment_distances(points, room.a, room.b) - room.thick
        free = free_of(leg.link, points)
        for column, (name, fence) in enumerate(self.placed.items()):
            if name in free:
                gaps[free[name], column] = math.inf
            if fence.fence.kind.ridden_over:
                gaps[gaps[:, column] > RUNS_INTO.value, column] = math.inf
        return gaps


def free_of(link: Link, points: Floats) -> dict[str, NDArray[np.bool_]]:
    """For each fence at an end of a way, at which of its points (N, 2), evenly spread along it, it
    is no obstacle: near that end, and of a turn in the half that is there."""
    begins = np.arange(len(points)) * 2 < len(points)
    whole = link.way is None or link.way.shape != "turn"
    free: dict[str, NDArray[np.bool_]] = {}
    for jump, end, half in (
        (link.first, points[0], begins | whole),
        (link.second, points[-1], ~begins | whole),
    ):
        if jump is not None:
            near = (np.linalg.norm(points - end, axis=1) <= FREE_AFTER) & half
            free[jump.fence] = free[jump.fence] | near if jump.fence in free else near
    return free


class StoppedWay(Struct, frozen=True):
    """A way that cannot be ridden from where the fences stand: what is amiss, the line of the file,
    and by how many metres; `tight` where it is a radius."""

    words: str
    path: tuple[str | int, ...]
    short_m: float
    tight: bool = False


def stopped_ways(
    exercise: Exercise, placed: dict[str, PlacedFence], room: Room, limits: Limits,
    legs: tuple[Leg, ...],
) -> tuple[StoppedWay, ...]:  # fmt: skip
    """The ways of a ride that nobody should be sent, worst first: what the checks would stop, and
    what is `BADLY_M` tighter, or nearer to a rail or a fence, than these horses want."""
    judge = _Judge(exercise, placed, room, limits, {})
    out: list[StoppedWay] = []
    for leg in legs:
        link, own = leg.link, limits.for_leg(leg.resolved)
        if link.inner:
            continue
        manner, points = own.manner, leg.curve.points(0.25)
        radius = tightness(leg.curve, own.stride_m).radius_m
        # How wide a circle is that the file says is no matter of where fences stand.
        least = min([manner.least_radius, *(c.diameter / 2 for c in link.circles if c.diameter)])
        depth = float(room.region.inside(points).min())
        gap = judge._past_fences(leg, room, points)
        for amiss, found, wanted, stop, tight in (
            ("is tighter than these horses should go, by so much radius", radius,
             least, min(least, own.floor_radius), True),
            ("runs too near the rail", depth, manner.rail, OVER_THE_RAIL.value, False),
            ("runs too near another fence", gap, manner.fences, INTO_A_FENCE.value, False),
        ):  # fmt: skip
            if found < max(stop, wanted - BADLY_M) - SAME_RADIUS_M:
                words = f"{_named(link)} {amiss}"
                out.append(StoppedWay(words, link.path, wanted - found, tight))
    return tuple(sorted(out, key=lambda way: -round(way.short_m, 3)))


def _named(link: Link) -> str:
    if link.first and link.second:
        shape = link.way.shape if link.way else "line"
        return f"the {shape} from {link.first.fence} to {link.second.fence}"
    return f"the way to {link.second.fence}" if link.second else f"the way after {_after(link)}"


def _after(link: Link) -> str:
    return link.first.fence if link.first else "the start"


def _start_short(leg: Leg, exercise: Exercise, limits: Limits) -> float:
    """Metres by which a start has too few strides, or turns to the other hand than its lead."""
    gait = leg.resolved.gait
    own, off = limits.for_gait(gait), limits.for_gait(gait).landing_m if gait == "canter" else 0.0
    wanted = APPROACH.of(gait, exercise.terms.horses.experience).value - APPROACH_SLACK.value
    few = wanted * own.stride_m - (leg.curve.length - off)
    few = max(few, 0.0) + _off_the_wall(leg, exercise, own.stride_m)
    lead, hand = exercise.course.start.lead, last_hand(leg.curve, None)
    against = gait == "canter" and lead is not None and hand is not None
    if against and hand != (lead == "left"):
        return few + AGAINST_LEAD_M
    return few


def _off_the_wall(leg: Leg, exercise: Exercise, stride: float) -> float:
    """What it weighs that a rail, and no gate in it, lies straight behind the start."""
    free = behind_start(leg.curve, exercise.arena)
    if free < BEHIND_LEAST.value * stride:
        return OFF_THE_WALL_M
    return NEAR_THE_WALL_M if free < (BEHIND.value - BEHIND_SLACK.value) * stride else 0.0


def behind_start(curve: Curve, arena: Arena) -> float:
    """Metres straight back from where a ride begins to the rail; out through the gate, any."""
    back = curve.start.reversed()
    free = arena.region.ray_length(back.point, back.direction)
    gate = arena.gate
    return math.inf if gate and gate.spans(back.ahead(free).point) else free


def _opened_out(leg: Leg) -> float:
    """Radians by which a turn opens out too far to the other hand."""
    way = leg.link.way
    if way is None or way.shape != "turn" or not (leg.link.first and leg.link.second):
        return 0.0
    hand = 1 if way.left else -1
    away = sum(max(0.0, -hand * piece.turn) for piece in leg.curve.pieces)
    back = leg.link.first.fence == leg.link.second.fence
    return away - (BACK_OUT_RAD if back else OPENED_OUT_RAD)


def _few_straight(leg: Leg, limits: GaitLimits) -> float:
    """Metres short of one straight stride beside a fence, in canter and but for round bends."""
    way, curve = leg.link.way, leg.curve
    if limits.gait != "canter" or not bends_noticeably(curve) or (way and way.round):
        return 0.0
    ends = []
    if leg.resolved.first and not leg.resolved.first.kind.ridden_over:
        ends.append(straight_after(curve))
    if leg.resolved.second and not leg.resolved.second.kind.ridden_over:
        ends.append(straight_before(curve))
    least = min((straight_strides(metres, limits) for metres in ends), default=1.0)
    return max(0.0, 1 - SAME_STRIDE - least) * limits.stride_m
