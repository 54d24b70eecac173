"""A smooth corner: clothoid, arc, clothoid between two straight lines.

Each clothoid takes the share EASE of the turn and the arc takes the rest, so corners of one
angle are all the same shape at different sizes. The distance from the vertex of the two lines
to where the corner begins is then `radius * reach(turn)`, and its length
`radius * run(turn)`: linear in the radius, which is what makes bends of a given length solvable
in closed form.

Derivation: with heading theta(u) over the first half, the apex is at (X, Y) = the integrals of
cos theta and sin theta, and lies on the bisector through the vertex (T, 0), so
T = X + Y tan(turn / 2). The clothoid is the transition curve of road design, with curvature
proportional to length.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from diagram.geometry.curve import Curve, Floats, Piece
from diagram.geometry.pose import Pose

EASE = 0.125
"""Share of the turn taken by each clothoid. A horse needs most of a stride
to take up a bend: at 8 m radius through 90 degrees this is a clothoid of 3.1 m."""

SHARPEST = math.radians(165)
"""A corner turned further than this runs off to a vertex far outside any arena."""


def run(turn: Floats | float) -> Floats:
    """Length of a corner of radius 1 m through `turn` radians (any sign)."""
    length: Floats = np.abs(np.asarray(turn, dtype=float)) * (1 + 2 * EASE)
    return length


@cache
def _reach_exact(turn: float) -> float:
    ease = corner_pieces(turn, 1.0)[0]
    half = Curve.of(Pose(0, 0, 0), (ease, Piece(turn * (0.5 - EASE), 1.0, 1.0)))
    return half.end.x + half.end.y * math.tan(turn / 2)


def reach(turn: float) -> float:
    """Distance from the vertex to the begin of a corner of radius 1 m. `turn` under 180 degrees."""
    return _reach_exact(abs(turn)) if turn else 0.0


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_SHARES = EASE * ((_NODES + 1) / 2) ** 2
_MOMENTS = np.stack([_WEIGHTS, _WEIGHTS * _SHARES], axis=1) / 2 + 0j
"""Share of the turn done at each node of a clothoid; weights for the mean direction along it, and
for the slope of that by the turn."""


def _apexes(turns: Floats) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """Middle x + iy of left corners of radius 1 m, seen from where they begin, and its slope by
    the turn. The arc is integrated in closed form, the clothoid by Gauss-Legendre quadrature.
    """
    moments = np.exp(1j * turns[..., None] * _SHARES) @ _MOMENTS
    mean, slope = moments[..., 0], 1j * moments[..., 1]
    half, eased = np.exp(0.5j * turns), np.exp(1j * EASE * turns)
    apex = 2 * EASE * turns * mean - 1j * (half - eased)
    return apex, 2 * EASE * (mean + turns * slope) + half / 2 - EASE * eased


def apexes(turns: Floats) -> tuple[Floats, Floats]:
    """Middle (x, y) of left corners of radius 1 m, seen from where they begin. Radians."""
    apex, _ = _apexes(np.asarray(turns, dtype=float))
    return apex.real, apex.imag


def corner_ends(turns: Floats) -> tuple[Floats, Floats]:
    """End (x, y) of left corners of radius 1 m, seen from where they begin.

    The second half is the first one seen from behind in a mirror.
    """
    x, y = apexes(turns)
    c, s = np.cos(turns), np.sin(turns)
    return x + c * x + s * y, y + s * x - c * y


def reaches(turns: Floats) -> tuple[Floats, Floats]:
    """`reach` of many turns at once and its derivative. `turns` in (0, 180) degrees, radians."""
    t = np.asarray(turns, dtype=float)
    apex, slope = _apexes(t)
    tangent = np.tan(t / 2)
    reach = apex.real + apex.imag * tangent
    return reach, slope.real + slope.imag * tangent + apex.imag * (1 + tangent**2) / 2


def corner_pieces(turn: float, radius: float) -> tuple[Piece, ...]:
    """Clothoid, arc, clothoid through `turn` radians, left positive."""
    k = math.copysign(1 / radius, turn)
    ease = 2 * radius * EASE * abs(turn)
    arc = radius * abs(turn) * (1 - 2 * EASE)
    return (Piece(ease, 0.0, k), Piece(arc, k, k), Piece(ease, k, 0.0))


def bend_pieces(turn: float, radius: float, before: float, after: float) -> tuple[Piece, ...]:
    """A corner with a straight before and after it."""
    return (Piece(before), *corner_pieces(turn, radius), Piece(after))


def circle_pieces(turn_sign: int, radius: float, ease: float) -> tuple[Piece, ...]:
    """A full circle entered and left through clothoids of `ease` metres.

    By symmetry it ends on the straight line it began on, facing the same way.
    """
    k = turn_sign / radius
    return (Piece(ease, 0.0, k), Piece(2 * math.pi * radius - ease, k, k), Piece(ease, k, 0.0))


def corner_places(turns: Floats, count: int) -> Floats:
    """`count` places (..., count, 2) along left corners of radius 1 m, good to 1e-4."""
    x, y = _traced(turns)
    picks = ((np.arange(count) + 0.5) / count * _FINE).astype(int)
    return np.stack([x[..., picks], y[..., picks]], axis=-1)


def _traced(turns: Floats) -> tuple[Floats, Floats]:
    """Corners of radius 1 m in small steps, by the midpoint rule."""
    share = (np.arange(_FINE) + 0.5) / _FINE * (1 + 2 * EASE)
    ease = 2 * EASE
    last = 1 + ease - share
    heading = np.where(
        share < ease,
        share**2 / (2 * ease),
        np.where(last < ease, 1 - last**2 / (2 * ease), share - ease / 2),
    )
    theta = turns[..., None] * heading
    step = turns[..., None] * (1 + ease) / _FINE
    return np.cumsum(np.cos(theta) * step, axis=-1), np.cumsum(np.sin(theta) * step, axis=-1)


TABLE_STEP = math.radians(1.5)
SAMPLES = 9
_FINE = 240


@cache
def shape_table() -> tuple[Floats, Floats, Floats]:
    """Turns, reaches and sampled shapes of left corners of radius 1 m, for quick search.

    Shapes are (turns, SAMPLES, 2): places along the corner in the frame of its begin. They
    come from the midpoint rule and are good to 1e-4 of the radius, which serves to choose a
    route; the chosen one is rebuilt from the exact formulas.
    """
    turns = np.arange(0, SHARPEST + TABLE_STEP, TABLE_STEP)
    x, y = _traced(turns)
    middle = _FINE // 2 - 1
    reaches = x[:, middle] + y[:, middle] * np.tan(turns / 2)
    picks = ((np.arange(SAMPLES) + 0.5) / SAMPLES * _FINE).astype(int)
    return turns, reaches, np.stack([x[:, picks], y[:, picks]], axis=-1)
