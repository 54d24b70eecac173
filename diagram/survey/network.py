"""Taped distances between points of a plane, as a model to be adjusted.

A point is known, or free (two parameters), or part of a body: a figure that keeps its shape and
has three parameters, the place of its origin and its turn. The distance between two points has
the partial derivatives of Ghilani, *Adjustment Computations*, section 14.2 (the direction
cosines of the tape), and by the chain rule those of a rigid figure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import accumulate

import numpy as np
from msgspec import Struct

from diagram.geometry.pose import Point, Pose, wrap
from diagram.survey.adjustment import Adjustment, Array, adjust

ARM_M = 6.0
"""Metres. Turns are counted in metres at the end of such an arm, so that a metre and ten degrees
weigh alike where neither is determined: crews are off in about that proportion (common practice,
no source)."""

NO_DISTANCE = 1e-9


class Tape(Struct, frozen=True):
    """A distance taped between two named points, with its standard error. Metres.

    `feet` says that it was read in feet and inches.
    """

    first: str
    second: str
    metres: float
    sigma_m: float
    feet: bool = True


class Rigid(Struct, frozen=True):
    """A figure that keeps its shape: its points in its own frame, and where it is looked for.

    A free point is a body with a single point, at its origin.
    """

    name: str
    points: Mapping[str, Point]
    start: Pose

    @property
    def free(self) -> bool:
        """A single point, which has no turn."""
        return tuple(self.points.values()) == ((0.0, 0.0),)

    @property
    def size(self) -> int:
        """Number of its parameters."""
        return 2 if self.free else 3


class Network(Struct, frozen=True, dict=True):
    """Known points and bodies that tapes are stretched between.

    Parameters stand in the order of the bodies: x, y and, unless the body is a free point, its
    turn times ARM_M.
    """

    known: Mapping[str, Point]
    bodies: Sequence[Rigid]

    @cached_property
    def owner(self) -> dict[str, int]:
        """The number of the body that each point belongs to."""
        return {name: n for n, body in enumerate(self.bodies) for name in body.points}

    @cached_property
    def first_of(self) -> tuple[int, ...]:
        """Where the parameters of each body begin; the last entry is their number."""
        return tuple(accumulate((body.size for body in self.bodies), initial=0))

    @cached_property
    def _free(self) -> tuple[bool, ...]:
        return tuple(body.free for body in self.bodies)

    def start(self) -> Array:
        """Parameters that say where the bodies are looked for."""
        return self.parameters([body.start for body in self.bodies])

    def parameters(self, poses: Sequence[Pose]) -> Array:
        """The parameters of bodies at `poses`."""
        values: list[float] = []
        for body, pose in zip(self.bodies, poses, strict=True):
            values += [pose.x, pose.y] + ([] if body.free else [pose.heading * ARM_M])
        return np.array(values)

    def pose(self, x: Array, number: int) -> Pose:
        """Where parameters put a body."""
        at = self.first_of[number]
        turn = 0.0 if self._free[number] else wrap(float(x[at + 2]) / ARM_M)
        return Pose(float(x[at]), float(x[at + 1]), turn)

    def columns(self, number: int) -> slice:
        """Which parameters are those of a body."""
        return slice(self.first_of[number], self.first_of[number + 1])

    def point(self, x: Array, name: str) -> Point:
        """Where parameters put a point. Raises KeyError for one that is not there."""
        if name in self.known:
            return self.known[name]
        number = self.owner[name]
        return self.pose(x, number).ahead(*self.bodies[number].points[name]).point

    def row(self, x: Array, first: str, second: str) -> tuple[float, Array]:
        """The distance between two points, and its derivatives by the parameters (n,)."""
        return self._row(x, first, second, {name: self.point(x, name) for name in (first, second)})

    def _row(
        self, x: Array, first: str, second: str, places: Mapping[str, Point]
    ) -> tuple[float, Array]:
        """The same where the places of the points are known."""
        (ax, ay), (bx, by) = places[first], places[second]
        length = math.hypot(bx - ax, by - ay)
        row = np.zeros(self.first_of[-1])
        if length < NO_DISTANCE:
            return length, row
        ux, uy = (bx - ax) / length, (by - ay) / length
        for name, way_x, way_y in ((first, -ux, -uy), (second, ux, uy)):
            if name in self.known:
                continue
            number = self.owner[name]
            at = self.first_of[number]
            row[at] += way_x
            row[at + 1] += way_y
            if not self._free[number]:
                turned_x, turned_y = self._turned(x, name, places[name])
                row[at + 2] += way_x * turned_x + way_y * turned_y
        return length, row

    def slopes(self, x: Array, name: str) -> Array:
        """How a point moves with the parameters of its body (2, n); a known one with none."""
        if name in self.known:
            return np.zeros((2, 0))
        if self.bodies[self.owner[name]].free:
            return np.eye(2)
        return np.column_stack([np.eye(2), self._turned(x, name, self.point(x, name))])

    def _turned(self, x: Array, name: str, place: Point) -> tuple[float, float]:
        """How a point of a body that turns moves: square to its arm."""
        at, (px, py) = self.first_of[self.owner[name]], place
        return -(py - float(x[at + 1])) / ARM_M, (px - float(x[at])) / ARM_M

    def adjusted(
        self, tapes: Sequence[Tape], widest: float = math.inf, start: Array | None = None
    ) -> Adjustment:
        """The bodies where the tapes say they are. Raises KeyError for an unknown point."""

        named = {name: None for tape in tapes for name in (tape.first, tape.second)}

        def model(x: Array) -> tuple[Array, Array]:
            # Many tapes meet in a point, and there are many steps: each is looked up once a step.
            places = {name: self.point(x, name) for name in named}
            rows = [self._row(x, tape.first, tape.second, places) for tape in tapes]
            design = np.array([row for _, row in rows]).reshape(len(tapes), self.first_of[-1])
            return np.array([length for length, _ in rows]), design

        observed = np.array([tape.metres for tape in tapes])
        sigmas = np.array([tape.sigma_m for tape in tapes])
        return adjust(model, observed, sigmas, self.start() if start is None else start, widest)
