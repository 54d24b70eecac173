"""Directions in words: the sides of the arena and its gate as a crew sees them."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from diagram.exercise.arena import Arena
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.geometry.region import metres_to, segment_distances
from diagram.stakeout.crossing import other_crossing

RAIL = 0.05
"""Metres by which a tape may cut outside the rail."""

GATE_FIRST = 0.6
"""The gate is named where it tells two places apart this well, as a share of what the best
side does: everybody sees the gate."""


def landmarks(arena: Arena) -> dict[str, tuple[Point, Point]]:
    """What a crew finds without a plan: the gate and the sides, each as a stretch of the rail."""
    out = dict(arena.sides)
    if arena.gate:
        (x, y), (dx, dy), half = arena.gate.middle, arena.gate.direction, arena.gate.width / 2
        out["gate"] = ((x - dx * half, y - dy * half), (x + dx * half, y + dy * half))
    return out


def gap_to(stretch: tuple[Point, Point], point: Point) -> float:
    """Metres from a point to the nearest place of a landmark."""
    a, b = (np.array([end]) for end in stretch)
    return float(segment_distances(np.array(point), a, b)[0])


def nearer_to(arena: Arena, a: Point, b: Point, point: Point) -> str:
    """The landmark that `point` is nearer to than the second crossing of tapes at `a` and `b`."""
    second = other_crossing(a, b, point)
    gains = {
        name: gap_to(stretch, second) - gap_to(stretch, point)
        for name, stretch in landmarks(arena).items()
    }
    best = max(gains, key=lambda name: gains[name])
    if gains.get("gate", 0.0) >= GATE_FIRST * gains[best]:
        return "gate"
    return best


def side_ahead(arena: Arena, point: Point, direction: Point) -> str:
    """The side that is met first from `point` along a unit `direction`."""
    best, name = math.inf, next(iter(arena.sides))
    for side, edge in arena.sides.items():
        ahead = metres_to(edge, point, direction)
        if ahead is not None and 0 < ahead < best:
            best, name = ahead, side
    return name


def visible(arena: Arena, foot: Point, places: Floats) -> npt.NDArray[np.bool_]:
    """Which of `places` (m, 2) a tape reaches from `foot` without leaving the arena."""
    shares = np.linspace(0.02, 0.98, 25)[:, None, None]
    between = np.array(foot) + shares * (places - np.array(foot))
    inside: npt.NDArray[np.bool_] = np.all(arena.region.inside(between) >= -RAIL, axis=0)
    return inside
