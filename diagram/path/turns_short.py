"""How far turns, ridden as they will be drawn, fall short of what a layout reckoned with.

Layouts stand a turn for two circles and a straight line. Before one is taken, its turns are
ridden and held against the limits of the horses, the rail and the fences.
"""

from __future__ import annotations

import math

import numpy as np

from diagram.exercise.exercise import Exercise
from diagram.exercise.fence import PlacedFence
from diagram.path.limits import Limits
from diagram.path.line import Crossing, Leg, ridden_line
from diagram.path.measures import tightness
from diagram.path.room import FREE_AFTER, Manner, Room

OPENED_OUT_RAD = math.radians(25)
"""So far a rider may open out to the other hand; beyond that it is a turn on another lead."""
TRACK_SHORT_M = 0.05
"""Metres by which the ridden line may fall short of a limit before another layout is tried."""


def turns_short(
    exercise: Exercise, placed: dict[str, PlacedFence], room: Room, limits: Limits
) -> float:
    """Metres by which the turns of a ride fall short of their limits, all together."""
    crossings = tuple(Crossing(jump, placed[jump.fence]) for jump in exercise.course.jumps)
    turning = (leg for leg in exercise.legs if leg.link.way and leg.link.way.shape == "turn")
    legs = ridden_line(turning, crossings, room, limits)
    short = [_short(leg, room, limits.canter.manner) for leg in legs]
    return sum(metres for metres in short if metres > TRACK_SHORT_M)


def _short(leg: Leg, room: Room, manner: Manner) -> float:
    """The most by which a turn is too tight, too near something, or opens out too far."""
    points = leg.curve.points(0.5)
    hand = 1 if leg.link.way and leg.link.way.left else -1
    away = sum(max(0.0, -hand * (p.k0 + p.k1) / 2 * p.length) for p in leg.curve.pieces)
    ends = np.array([leg.curve.start.point, leg.curve.end.point])
    far = np.linalg.norm(points[:, None] - ends, axis=2).min(axis=1) > FREE_AFTER
    return max(
        manner.least_radius - tightness(leg.curve, manner.stride).radius_m,
        manner.rail - float(room.region.inside(points).min()),
        manner.fences - float(room.clearance(points[far]).min(initial=math.inf)),
        (away - OPENED_OUT_RAD) * manner.least_radius,
    )
