"""The ridden line: from placed fences and the ride to one curve for every leg.

A leg begins on the ground at the landing side of one fence and ends at the take-off side of
the next, on the middle line of the track; the spreads between are the crossings. All curves
are continuous in place, heading and curvature, and begin and end straight, so that leg,
crossing and leg join smoothly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from diagram.exercise.course import Jump, Link
from diagram.exercise.ends import effective_spread, landed, over, taken_off
from diagram.exercise.fence import PlacedFence
from diagram.exercise.legs import ResolvedLeg
from diagram.geometry.bend import bend
from diagram.geometry.corner import reach
from diagram.geometry.curve import Curve, Piece
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.route import build, measure
from diagram.model.said import WaySaid
from diagram.path.circle import with_circle
from diagram.path.limits import GaitLimits, Limits
from diagram.path.natural_turn import natural_turn
from diagram.path.room import FREE_AFTER, Room

IN_LINE_M = 0.02
IN_LINE_RAD = math.radians(0.3)
"""Fences no further out of line than this stand in line: a tape cannot tell."""

SHORTEST_M = 3.0
"""Metres of approach or get-away that are kept even if they come too near to the rail."""
LOOK_M, ALONG_M = 0.25, 0.05
APPROACH_STRIDES = 6
GET_AWAY_STRIDES = 5


@dataclass(frozen=True, slots=True)
class Crossing:
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


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg of the ridden line: what was asked of it, and its curve."""

    resolved: ResolvedLeg
    curve: Curve

    @property
    def link(self) -> Link:
        """The way as it is written."""
        return self.resolved.link

    @property
    def length_m(self) -> float:
        """Metres along the track."""
        return self.curve.length


def ridden_line(
    resolved: Iterable[ResolvedLeg],
    crossings: tuple[Crossing, ...],
    room: Room,
    limits: Limits,
) -> tuple[Leg, ...]:
    """Every leg from the start to the finish, in order."""
    by_number = {crossing.jump.number: crossing for crossing in crossings}
    legs = []
    for leg in resolved:
        link = leg.link
        first = by_number[link.first.number] if link.first else None
        second = by_number[link.second.number] if link.second else None
        own = limits.for_gait(leg.gait)
        curve = _curve(link, first, second, leg.target_m, room, own)
        for circle in link.circles:
            curve = with_circle(curve, circle, room, own)
        legs.append(Leg(leg, curve))
    return tuple(legs)


def _curve(
    link: Link,
    first: Crossing | None,
    second: Crossing | None,
    target: float | None,
    room: Room,
    limits: GaitLimits,
) -> Curve:
    if first is None and second is not None:
        return _approach(second.enter, link.way, room, limits)
    if second is None and first is not None:
        return _get_away(first.leave, link.way, room, limits)
    if first is None or second is None:
        return Curve.straight(Pose(0, 0, 0), 0.0)
    start, end = first.leave, second.enter
    way = link.way or WaySaid("line")
    match way.shape:
        case "line":
            return _line(start, end)
        case "bend":
            return _bend(start, end, way, target, room, limits)
        case "turn":
            manner = replace(limits.manner, wide=not way.tight)
            return natural_turn(start, end, bool(way.left), room, manner)


def _line(start: Pose, end: Pose) -> Curve:
    """Straight, or where the fences are not in line the gentlest curve that joins them."""
    local = end.seen_from(start)
    if abs(local.y) < IN_LINE_M and abs(local.heading) < IN_LINE_RAD and local.x > 0:
        return Curve.straight(start, local.x)
    joined = bend(start, end, 0.0, 0.5)
    return joined.curve if joined else _double_bend(start, end)


def _bend(
    start: Pose, end: Pose, way: WaySaid, target: float | None, room: Room, limits: GaitLimits
) -> Curve:
    """One corner of the length wanted; failing that, the least bad way round."""
    for straight, radius in (
        (limits.manner.out, limits.manner.least_radius),
        (limits.landing_m, limits.manner.least_radius),
        (limits.landing_m, limits.floor_radius),
        (0.0, limits.floor_radius / 2),
    ):
        joined = bend(start, end, straight, radius, target)
        if joined:
            return joined.curve
    if abs(wrap(end.heading - start.heading)) < math.radians(20):
        return _double_bend(start, end)
    return natural_turn(start, end, bool(way.left), room, replace(limits.manner, wide=False))


def _double_bend(start: Pose, end: Pose) -> Curve:
    """Two opposite corners that share the way between two nearly parallel lines."""
    span = max(end.seen_from(start).x, 1.0) / 3
    points = np.array([[start.point, start.ahead(span).point, end.ahead(-span).point, end.point]])
    sized = measure(points, 0.0, 0.0, math.inf)
    return build(start, points[0, 1:-1], sized.radii[0] * 0.9995, end)


def _clear_ahead(pose: Pose, room: Room, limits: GaitLimits) -> float:
    """Metres straight ahead until a rail or a fence is as near as it may be."""
    manner = limits.manner
    clear = max(room.region.ray_length(pose.point, pose.direction) - manner.rail, 0.5)
    if not math.isfinite(clear) or clear <= SHORTEST_M:
        return clear
    s = np.arange(SHORTEST_M, clear, LOOK_M)
    (x, y), (c, d) = pose.point, pose.direction
    places = np.stack([x + s * c, y + s * d], axis=1)
    # A way along the rail keeps to it exactly, which is near enough.
    near = room.region.inside(places) < manner.rail - ALONG_M
    near |= (room.clearance(places) < manner.fences) & (s > FREE_AFTER)
    return float(s[int(near.argmax())]) - LOOK_M if near.any() else clear


def _approach(end: Pose, way: WaySaid | None, room: Room, limits: GaitLimits) -> Curve:
    """The way from the start to the first fence: straight, or round one corner."""
    behind = min(_clear_ahead(end.reversed(), room, limits), APPROACH_STRIDES * limits.stride_m)
    if way is None or way.shape != "turn":
        return Curve.straight(end.ahead(-behind), behind)
    mirrored = _get_away(end.reversed(), replace(way, left=not way.left), room, limits)
    pieces = tuple(Piece(p.length, -p.k1, -p.k0) for p in reversed(mirrored.pieces))
    return Curve.of(mirrored.end.reversed(), pieces)


def _get_away(start: Pose, way: WaySaid | None, room: Room, limits: GaitLimits) -> Curve:
    """The way from the last fence to the finish: straight on, or round one corner."""
    ahead = _clear_ahead(start, room, limits)
    if way is None or way.shape != "turn":
        return Curve.straight(start, min(ahead, GET_AWAY_STRIDES * limits.stride_m))
    quarter = math.pi / 2 if way.left else -math.pi / 2
    radius = limits.manner.liked_radius
    to_vertex = min(ahead, limits.manner.liked_straight + radius * reach(quarter))
    radius = max(min(radius, (to_vertex - limits.landing_m) / reach(quarter)), 0.5)
    vertex = start.ahead(to_vertex).turned(quarter)
    beyond = min(_clear_ahead(vertex, room, limits), radius * reach(quarter) + 3 * limits.stride_m)
    radius = min(radius, beyond / reach(quarter) * 0.999)
    return build(start, np.array([vertex.point]), np.array([radius]), vertex.ahead(beyond))
