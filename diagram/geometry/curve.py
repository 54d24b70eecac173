"""A curve whose curvature is piecewise linear: straights, arcs and clothoids joined.

Curvature is given, heading is its integral in closed form, and position is the integral of
the heading by Gauss-Legendre quadrature. A piece turns through less than PIECE_TURN, where
NODES points integrate cos and sin to well under a micrometre.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from diagram.geometry.pose import Pose, wrap

Floats = npt.NDArray[np.float64]

NODES = 12
PIECE_TURN = 1.6
"""Radians. Gauss-Legendre with 12 nodes on cos over 1.6 rad errs by less than 1e-15."""

_X, _W = np.polynomial.legendre.leggauss(NODES)
_ABSCISSAE = (_X + 1) / 2
_WEIGHTS = _W / 2


class CurvePiece(Struct, frozen=True):
    """A stretch over which the curvature runs evenly from `k0` to `k1` (1/m, left positive)."""

    length: float
    k0: float = 0.0
    k1: float = 0.0

    @property
    def turn(self) -> float:
        """Radians turned over the piece."""
        return self.length * (self.k0 + self.k1) / 2

    def split(self) -> tuple[CurvePiece, ...]:
        """The piece in parts that turn less than PIECE_TURN each."""
        most = self.length * max(abs(self.k0), abs(self.k1))
        n = max(1, math.ceil(most / PIECE_TURN))
        if n == 1:
            return (self,)
        step = (self.k1 - self.k0) / n
        return tuple(
            CurvePiece(self.length / n, self.k0 + i * step, self.k0 + (i + 1) * step)
            for i in range(n)
        )


class Curve(Struct, frozen=True, dict=True):
    """Pieces laid end to end from a start pose. Evaluated at arc lengths in metres."""

    start: Pose
    pieces: tuple[CurvePiece, ...]

    @classmethod
    def of(cls, start: Pose, pieces: tuple[CurvePiece, ...]) -> Curve:
        """A curve of the pieces that have length, split as quadrature wants them."""
        kept = (part for piece in pieces if piece.length > 0 for part in piece.split())
        return cls(start, tuple(kept) or (CurvePiece(0.0),))

    @classmethod
    def straight(cls, start: Pose, length: float) -> Curve:
        """A straight line of `length` metres."""
        return cls.of(start, (CurvePiece(length),))

    @cached_property
    def _table(self) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """Knot lengths, piece k0 and slope, and the pose at each knot."""
        length = np.array([p.length for p in self.pieces], dtype=float)
        k0 = np.array([p.k0 for p in self.pieces], dtype=float)
        k1 = np.array([p.k1 for p in self.pieces], dtype=float)
        slope = np.divide(k1 - k0, length, out=np.zeros_like(length), where=length > 0)
        knots = np.concatenate([[0.0], np.cumsum(length)])
        turn = length * (k0 + k1) / 2
        heading = self.start.heading + np.concatenate([[0.0], np.cumsum(turn)])
        dx, dy = _chord(heading[:-1], k0, slope, length)
        x = self.start.x + np.concatenate([[0.0], np.cumsum(dx)])
        y = self.start.y + np.concatenate([[0.0], np.cumsum(dy)])
        return knots, k0, slope, heading, x, y

    @property
    def length(self) -> float:
        """Metres along the curve."""
        return float(self._table[0][-1])

    @property
    def end(self) -> Pose:
        """Pose at the end."""
        _, _, _, heading, x, y = self._table
        return Pose(float(x[-1]), float(y[-1]), wrap(float(heading[-1])))

    @property
    def turn(self) -> float:
        """Net radians turned, left positive, not wrapped."""
        return float(self._table[3][-1]) - self.start.heading

    @property
    def tightest(self) -> float:
        """Greatest curvature in 1/m, without sign."""
        return max(max(abs(p.k0), abs(p.k1)) for p in self.pieces)

    @property
    def min_radius(self) -> float:
        """Smallest radius in metres; infinity for a straight line."""
        return 1 / self.tightest if self.tightest > 1e-12 else math.inf

    def locate(self, s: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """x, y, heading (not wrapped) and curvature at arc lengths `s` (any shape (n,))."""
        knots, k0, slope, heading, x, y = self._table
        s = np.minimum(np.maximum(np.asarray(s, dtype=float), 0.0), knots[-1])
        index = np.minimum(np.searchsorted(knots, s, side="right") - 1, len(self.pieces) - 1)
        u = s - knots[index]
        dx, dy = _chord(heading[index], k0[index], slope[index], u)
        k = k0[index] + slope[index] * u
        theta = heading[index] + k0[index] * u + slope[index] * u * u / 2
        return x[index] + dx, y[index] + dy, theta, k

    def pose_at(self, s: float) -> Pose:
        """Pose at one arc length."""
        x, y, theta, _ = self.locate(np.array([s]))
        return Pose(float(x[0]), float(y[0]), wrap(float(theta[0])))

    def stations(self, step: float) -> Floats:
        """Evenly spaced arc lengths no further apart than `step`, both ends included."""
        return np.linspace(0.0, self.length, max(2, math.ceil(self.length / step) + 1))

    def points(self, step: float) -> Floats:
        """Places at `stations(step)`, shape (n, 2)."""
        x, y, _, _ = self.locate(self.stations(step))
        return np.stack([x, y], axis=1)

    def outline(self, sagitta: float) -> Floats:
        """Places such that chords stray from the curve by at most `sagitta` metres, (n, 2)."""
        knots = self._table[0]
        stops: list[Floats] = []
        for piece, first in zip(self.pieces, knots, strict=False):
            bend = max(abs(piece.k0), abs(piece.k1))
            count = math.ceil(piece.length * math.sqrt(bend / (8 * sagitta))) if bend else 1
            stops.append(first + np.linspace(0, piece.length, max(1, count) + 1)[:-1])
        s = np.concatenate([*stops, [knots[-1]]])
        x, y, _, _ = self.locate(s)
        return np.stack([x, y], axis=1)

    def then(self, other: Curve) -> Curve:
        """This curve with the pieces of `other` laid on its end."""
        return Curve.of(self.start, self.pieces + other.pieces)

    def mirrored(self) -> Curve:
        """Reflected in the x axis."""
        flipped = tuple(CurvePiece(p.length, -p.k0, -p.k1) for p in self.pieces)
        return Curve(self.start.mirrored(), flipped)

    def part(self, begin: float, finish: float) -> Curve:
        """The stretch between two arc lengths."""
        out: list[CurvePiece] = []
        for piece, first in zip(self.pieces, self._table[0], strict=False):
            a, b = max(begin - first, 0.0), min(finish - first, piece.length)
            if b > a:
                slope = (piece.k1 - piece.k0) / piece.length
                out.append(CurvePiece(b - a, piece.k0 + slope * a, piece.k0 + slope * b))
        return Curve.of(self.pose_at(begin), tuple(out))


def _chord(heading: Floats, k0: Floats, slope: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Displacement over `length` of pieces that begin at `heading` with curvature `k0`."""
    u = length[..., None] * _ABSCISSAE
    theta = heading[..., None] + u * (k0[..., None] + slope[..., None] * u / 2)
    return length * (np.cos(theta) @ _WEIGHTS), length * (np.sin(theta) @ _WEIGHTS)
