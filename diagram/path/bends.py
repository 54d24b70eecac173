"""A bend between two fences: straight, short ease, true arc, ease, straight; or round, all arc."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from diagram.geometry.bend import bend, vertex_distances
from diagram.geometry.corner import EASE, arc_pieces
from diagram.geometry.curve import Curve, CurvePiece
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.route import build, measure
from diagram.model.said import WaySaid
from diagram.path.limits import GaitLimits
from diagram.path.natural_turn import natural_turn
from diagram.path.room import Room

IN_LINE_M = 0.02
IN_LINE_RAD = math.radians(0.3)
"""Fences no further out of line than this stand in line: a tape cannot tell."""
WORTH_TWO = math.radians(30)
"""A bend keeps two straight strides at both ends if it then still turns as much as this, which
is when a bend is a turn with a lead of its own; else it keeps one (common practice, no source)."""
USUAL = math.radians(45)
"""A bend of which only the strides are said turns no further than this where there is room: it is
a line with a curve in it and no corner (common practice, no source)."""


def usual_bend(
    length: float, limits: GaitLimits, turn: float | None = None
) -> tuple[float, float, float]:
    """Radians, radius and straight at both ends of a bend of a length; `turn` radians if said.

    All that is not straight is one arc, as wide as it may be for its turn and no tighter than
    these horses are liked to be ridden: so bends of a length come out alike, and those to either
    hand are each other's mirror.
    """
    manner = limits.manner
    for straight in (manner.wanted_straight, manner.out):
        arc = length - 2 * straight
        most = arc / manner.liked_radius - EASE
        if (turn or WORTH_TWO) <= most:
            turned = turn or min(most, USUAL)
            return turned, arc / (turned + EASE), straight
    straight = manner.out
    arc = max(length - 2 * straight, length / 3)
    if turn:
        return turn, max(arc / (turn + EASE), manner.least_radius), straight
    return max(arc / manner.liked_radius - EASE, EASE), manner.liked_radius, straight


def straight_line(start: Pose, end: Pose) -> Curve:
    """Straight, or where the fences are not in line the gentlest curve that joins them."""
    local = end.seen_from(start)
    if abs(local.y) < IN_LINE_M and abs(local.heading) < IN_LINE_RAD and local.x > 0:
        return Curve.straight(start, local.x)
    joined = bend(start, end, 0.0, 0.5)
    return joined.curve if joined else _double_bend(start, end)


def bent_line(
    start: Pose, end: Pose, way: WaySaid, target: float | None, room: Room, limits: GaitLimits
) -> Curve:
    """One corner of the length wanted; failing that, the least bad way round."""
    if way.round:
        arc = round_bend(start, end)
        if arc is not None:
            return arc
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


def round_bend(start: Pose, end: Pose) -> Curve | None:
    """A true arc from pose to pose, with no ease; None where no arc joins them.

    Poses that are not quite on one circle get the widest arc, and the rest straight at the end
    that is further away: with the vertex `a` ahead of the one and `b` behind the other, the
    radius is ``min(a, b) / tan(turn / 2)``.
    """
    distances, turn = vertex_distances(start, end), wrap(end.heading - start.heading)
    if distances is None or min(distances) <= 0:
        return None
    a, b = distances
    radius = min(a, b) / math.tan(abs(turn) / 2)
    if radius <= 0:
        return None
    pieces = (CurvePiece(max(a - b, 0.0)), *arc_pieces(turn, radius), CurvePiece(max(b - a, 0.0)))
    return Curve.of(start, pieces)


def _double_bend(start: Pose, end: Pose) -> Curve:
    """Two opposite corners that share the way between two nearly parallel lines."""
    span = max(end.seen_from(start).x, 1.0) / 3
    points = np.array([[start.point, start.ahead(span).point, end.ahead(-span).point, end.point]])
    sized = measure(points, 0.0, 0.0, math.inf)
    return build(start, points[0, 1:-1], sized.radii[0] * 0.9995, end)
