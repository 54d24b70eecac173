"""The ridden line: from placed fences and the ride to one curve for every leg.

A leg begins on the ground at the landing side of one fence and ends at the take-off side of
the next, on the middle line of the track; the spreads between are the crossings. All curves
are continuous in place and heading, and but for round bends in curvature; those others begin and
end straight, so that leg, crossing and leg join smoothly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.arena import Arena
from diagram.exercise.course import Course, Jump, Link
from diagram.exercise.ends import effective_spread, landed, over, taken_off
from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import PlacedFence
from diagram.exercise.legs import ResolvedLeg
from diagram.exercise.where import where_of
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose
from diagram.model.said import WaySaid
from diagram.path.bends import bent_line, straight_line
from diagram.path.circle import Circled, with_circle
from diagram.path.finish import finish_apart
from diagram.path.limits import GaitLimits, Limits
from diagram.path.natural_turn import AskedTurn, natural_turns
from diagram.path.open_prices import WantedWay
from diagram.path.open_ways import way_in, way_out
from diagram.path.room import Room
from diagram.trade.riding import riding

A_TURN = riding().turns.a_turn.value
"""A leg that bends less than this is ridden on either lead."""


class Crossing(Struct, frozen=True):
    """A fence as it is jumped."""

    jump: Jump
    fence: PlacedFence

    @property
    def pose(self) -> Pose:
        """In its middle, the way it is jumped."""
        return over(self.jump).placed_in(self.fence.pose)

    @property
    def depth_m(self) -> float:
        """Metres from its front plane to its back plane along the track."""
        return effective_spread(self.fence.fence.depth_m, self.jump.angle)

    @property
    def enter(self) -> Pose:
        """On the ground before its front plane."""
        return taken_off(self.jump, self.fence.fence).placed_in(self.fence.pose)

    @property
    def leave(self) -> Pose:
        """On the ground behind its back plane."""
        return landed(self.jump, self.fence.fence).placed_in(self.fence.pose)


class Leg(Struct, frozen=True):
    """One leg of the ridden line: what was asked of it, and its curve; of the way out also how many
    metres are ridden in the gaits that are finished in."""

    resolved: ResolvedLeg
    curve: Curve
    last_m: float = 0.0

    @property
    def link(self) -> Link:
        """The way as it is written."""
        return self.resolved.link

    @property
    def length_m(self) -> float:
        """Metres along the track."""
        return self.curve.length


def ridden_line(
    exercise: Exercise,
    crossings: tuple[Crossing, ...],
    room: Room,
    limits: Limits,
    resolved: Iterable[ResolvedLeg] | None = None,
    left: bool | None = None,
) -> tuple[Leg, ...]:
    """Every leg from the start to the finish, in order; or those `resolved` of the exercise, come
    to from a turn to the `left` or not."""
    by_number = {crossing.jump.number: crossing for crossing in crossings}
    rider = _Rider(exercise.arena, exercise.course, room)
    asked = tuple(exercise.legs if resolved is None else resolved)
    turned = _turns(asked, by_number, room, limits)
    legs: list[Leg] = []
    for n, leg in enumerate(asked):
        first = by_number[leg.link.first.number] if leg.link.first else None
        second = by_number[leg.link.second.number] if leg.link.second else None
        if leg.link.first and leg.link.first.land:
            left = leg.link.first.land == "left"
        curve = rider.curve(leg, first, second, limits.for_leg(leg), left, turned.get(n))
        left = last_hand(curve, left)
        legs.append(Leg(leg, curve))
    return tuple(legs)


def ended_apart(
    legs: tuple[Leg, ...], course: Course, room: Room, limits: Limits
) -> tuple[Leg, ...]:
    """A whole ride with its way out ending on no other track, if there is room for that."""
    last = legs[-1] if legs else None
    if last is None or last.link.first is None or last.link.second is not None:
        return legs
    said, gait = course.finish, last.resolved.gait
    gaits = [finish for finish in said.gaits if finish != gait]
    others = [leg.curve for leg in legs[:-1]]
    cut = not last.link.circles and said.where is None
    ended = finish_apart(last.curve, others, gaits, room, limits.for_gait(gait), cut)
    return (*legs[:-1], replace(last, curve=ended.curve, last_m=ended.last_m))


def _turns(
    legs: tuple[ResolvedLeg, ...], by_number: dict[int, Crossing], room: Room, limits: Limits
) -> dict[int, Curve]:
    """The turns among some legs, by their place in the row, all looked for at once."""
    asked = {}
    for n, leg in enumerate(legs):
        link = leg.link
        if link.first and link.second and link.way and link.way.shape == "turn":
            manner = replace(limits.for_leg(leg).manner, wide=not link.way.tight)
            start, end = by_number[link.first.number].leave, by_number[link.second.number].enter
            asked[n] = AskedTurn(start, end, bool(link.way.left), manner)
    return dict(zip(asked, natural_turns(list(asked.values()), room), strict=True))


class _Rider(Struct, frozen=True):
    """Rides leg by leg through one arena."""

    arena: Arena
    course: Course
    room: Room

    def curve(
        self,
        leg: ResolvedLeg,
        first: Crossing | None,
        second: Crossing | None,
        limits: GaitLimits,
        left: bool | None,
        turn: Curve | None,
    ) -> Curve:
        if first is None and second is not None:
            return self._start(leg, second.enter, limits)
        if second is None and first is not None:
            return self._finish(leg, first.leave, limits, left)
        if first is None or second is None:
            return Curve.straight(Pose(0, 0, 0), 0.0)
        curve = turn
        if curve is None:
            curve = self._between(leg, first.leave, second.enter, limits)
        return self._circled(leg.link, curve, limits).curve

    def _between(self, leg: ResolvedLeg, start: Pose, end: Pose, limits: GaitLimits) -> Curve:
        way = leg.link.way or WaySaid("line")
        if way.shape == "bend":
            return bent_line(start, end, way, leg.target_m, self.room, limits)
        return straight_line(start, end)

    def _start(self, leg: ResolvedLeg, end: Pose, limits: GaitLimits) -> Curve:
        """The way in: as said, else along the rail on the lead that the ride begins on."""
        said, approach = self.course.start, riding().approach
        strides = approach.canter_strides if leg.gait == "canter" else approach.trot_strides
        where = where_of(said.where, self.arena)
        lead = None if said.lead is None else said.lead == "left"
        wanted = WantedWay(
            strides.value, limits.liked_strides, lead, side=where.side, near=where.point,
            begin=where.begin, gate=self.arena.gate.middle if self.arena.gate else None,
        )  # fmt: skip
        wanted = _with_hand(wanted, leg.link.way)
        curve = way_in(end, wanted, self.room, limits)
        circles = (*((said.circle,) if said.circle else ()), *leg.link.circles)
        return self._circled(replace(leg.link, circles=circles), curve, limits).curve

    def _finish(
        self, leg: ResolvedLeg, start: Pose, limits: GaitLimits, left: bool | None
    ) -> Curve:
        """The way out: as said, else with the rail on the lead that the horse landed on."""
        away, said = riding().get_away, self.course.finish
        where = where_of(said.where, self.arena)
        wanted = WantedWay(
            away.strides.value, away.straight_strides.value, left, straight_on=said.straight,
            side=where.side, near=where.point, rail=said.rail,
        )  # fmt: skip
        wanted = _with_hand(wanted, leg.link.way)
        curve = way_out(start, wanted, self.room, limits)
        if not leg.link.circles:
            return curve
        onward = way_out(start, replace(wanted, straight_on=True), self.room, limits)
        tried = [self._circled(leg.link, base, limits) for base in (onward, curve)]
        return max(tried, key=lambda found: round(min(found.spare_m, 0.0), 6)).curve

    def _circled(self, link: Link, curve: Curve, limits: GaitLimits) -> Circled:
        """The way with the circles said; short of room by what the worst of them is."""
        out = Circled(curve, math.inf)
        after = limits.manner.wanted_straight if link.first else 0.0
        before = limits.manner.wanted_straight if link.second else 0.0
        for circle in link.circles:
            near = where_of(circle.where, self.arena).point
            found = with_circle(out.curve, circle, self.room, limits, near, after, before)
            out = Circled(found.curve, min(out.spare_m, found.spare_m))
        return out


def _with_hand(wanted: WantedWay, way: WaySaid | None) -> WantedWay:
    """What a turn said before the first fence or after the last asks for."""
    if way is None or way.shape != "turn":
        return wanted
    return replace(wanted, left=bool(way.left), only=True)


def last_hand(curve: Curve, left: bool | None) -> bool | None:
    """The hand of the last turn of a way; as before where it hardly turns."""
    turned = 0.0
    for piece in curve.pieces:
        if piece.turn * turned < 0:
            turned = 0.0
        turned += piece.turn
        if abs(turned) >= A_TURN:
            left = turned > 0
    return left
