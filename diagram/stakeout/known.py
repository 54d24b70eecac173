"""What stands already, where the rounded readings put it, and how unsure that is.

Every reading made so far is one independent error of one standard deviation; the place of a mark
is linear in them, to first order. `drift` is that linear map: (2, n) for a place, (3, n) for a
fence, whose third row is its turn in radians.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose, unit_towards

TWO_SIGMA = 2.0
"""Standard deviations within which 95 of 100 lie: exact 1.96 along a line. Times the root of the
summed variances of x and y it is at least as much for a place (2 for a long thin ellipse, 2.83
for a round one, where 2.45 would do)."""


class Known(Struct, frozen=True):
    """A mark that a tape can be held to: its name, its place as set, its drift."""

    name: str
    at: Point
    drift: Floats


class SetFence(Struct, frozen=True):
    """A fence as the readings set it: its pose as first jumped, and its drift (3, n)."""

    pose: Pose
    drift: Floats

    def place(self, x: float, y: float = 0.0) -> Point:
        """A point of the fence's own frame, on the ground."""
        return self.pose.ahead(x, y).point

    def drift_at(self, x: float, y: float = 0.0) -> Floats:
        """How that point drifts: with the fence, and round its middle."""
        c, s = self.pose.direction
        arm = np.array([[-(x * s + y * c)], [x * c - y * s]])
        drift: Floats = self.drift[:2] + arm * self.drift[2]
        return drift

    def known(self, name: str, x: float, y: float = 0.0) -> Known:
        """A point of it as a mark."""
        return Known(name, self.place(x, y), self.drift_at(x, y))


def spread(drift: Floats) -> float:
    """Metres within which a place lies in 95 of 100 settings."""
    return TWO_SIGMA * math.sqrt(float(np.sum(drift**2)))


def crossed(
    a: Known, b: Known, at: Point, errors: tuple[float, float], columns: tuple[int, int]
) -> Floats:
    """Drift (2, n) of a place where tapes from two marks cross, with their own `errors` added."""
    units = np.array([unit_towards(a.at, at), unit_towards(b.at, at)])
    moved = np.array([units[0] @ a.drift, units[1] @ b.drift])
    moved[0, columns[0]] += errors[0]
    moved[1, columns[1]] += errors[1]
    drift: Floats = np.linalg.solve(units, moved)
    return drift


def sine_between(a: Point, b: Point, at: Point) -> float:
    """Sine of the angle under which tapes from two places cross at a third; 0 when parallel."""
    (ux, uy), (vx, vy) = unit_towards(a, at), unit_towards(b, at)
    return abs(ux * vy - uy * vx)


def angle_between(a: Point, b: Point, at: Point) -> float:
    """Radians between tapes from two places where they meet at a third, 0 to pi."""
    (ux, uy), (vx, vy) = unit_towards(a, at), unit_towards(b, at)
    return math.atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy)
