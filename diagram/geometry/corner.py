"""A smooth corner between two straight lines: a short ease, a true arc, a short ease.

An ease is a clothoid, the transition curve of road design, whose curvature grows with its length.
Here it is EASE times the radius long, whatever the turn, so corners of one angle are all the same
shape at different sizes, and all that follows is linear in the radius and closed in the turn.

Derivation, for radius 1 m and a turn to the left. A clothoid of length e turns e / 2 and ends at
(x, y) = e (f(e / 2), g(e / 2)) with the Fresnel series f and g. The centre of the arc is then
`along` = x - sin(e / 2) ahead of where the corner begins and `aside` = y + cos(e / 2) to the left
of the line; by symmetry it lies so before the other line too. Hence the vertex is
``along + aside tan(turn / 2)`` ahead of the begin, and the end of the corner is at the complex
place ``z + conj(z) exp(i turn)`` with ``z = along + i aside``.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache

import numpy as np

from diagram.geometry.curve import CurvePiece, Floats

EASE = 0.1
"""Length of each ease as a share of the radius: 0.75 m at 7.5 m, 3 m at 30 m. It shifts the arc
inwards by 4 mm at 10 m (length squared over 24 radii), so a half circle of 15 m is one of 15 m.
On a radius over 36 m it is longer than a canter stride, which shifts the arc by 25 mm at 60 m where
an ease of one stride would by 9: too little to give up lengths that are linear in the radius.
A turn of less than this in radians has no arc, only two eases."""

SHARPEST = math.radians(165)
"""A corner turned further than this runs off to a vertex far outside any arena."""

_F = np.array([(-1) ** n / (math.factorial(2 * n) * (4 * n + 1)) for n in range(6)])
_G = np.array([(-1) ** n / (math.factorial(2 * n + 1) * (4 * n + 3)) for n in range(6)])
"""The Fresnel series: f by even powers of e / 2, g by odd ones. What is left out is under 1e-25."""


def _series(half: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """f, g and their slopes."""
    power, odd = half[..., None] ** (2 * np.arange(6)), half[..., None] ** (2 * np.arange(6) + 1)
    f, g = power @ _F, odd @ _G
    return (
        f,
        g,
        odd[..., :-1] @ (_F[1:] * 2 * np.arange(1, 6)),
        power @ (_G * (2 * np.arange(6) + 1)),
    )


def centres(turn: Floats | float) -> tuple[Floats, Floats]:
    """How far along and aside the centres lie of corners of radius 1 m. `turn` without sign."""
    ease: Floats = np.minimum(EASE, np.asarray(turn, dtype=float))
    f, g, _, _ = _series(ease / 2)
    along: Floats = ease * f - np.sin(ease / 2)
    aside: Floats = ease * g + np.cos(ease / 2)
    return along, aside


ALONG, ASIDE = (float(share) for share in centres(EASE))
"""Those of every corner that turns more than EASE."""


def run(turn: Floats | float) -> Floats:
    """Length of a corner of radius 1 m through `turn` radians (any sign)."""
    turned = np.abs(np.asarray(turn, dtype=float))
    length: Floats = turned + np.minimum(EASE, turned)
    return length


def run_slope(turn: Floats) -> Floats:
    """Derivative of `run` by turns of 0 or more."""
    slope: Floats = np.where(turn < EASE, 2.0, 1.0)
    return slope


@lru_cache(maxsize=1 << 14)
def _reach(turn: float) -> float:
    along, aside = centres(turn)
    return float(along) + float(aside) * math.tan(turn / 2)


def reach(turn: float) -> float:
    """Distance from the vertex to the begin of a corner of radius 1 m. `turn` under 180 degrees."""
    return _reach(abs(turn))


def reaches(turns: Floats) -> tuple[Floats, Floats]:
    """`reach` of many turns at once and its derivative. `turns` in (0, 180) degrees, radians."""
    t = np.asarray(turns, dtype=float)
    along, aside = centres(t)
    half, tangent = t / 2, np.tan(t / 2)
    f, g, df, dg = _series(np.minimum(half, EASE / 2))
    # Under EASE the eases shrink with the turn, above it the centres stand still.
    small = t < EASE
    along_slope = np.where(small, f + half * df - np.cos(half) / 2, 0.0)
    aside_slope = np.where(small, g + half * dg - np.sin(half) / 2, 0.0)
    slope: Floats = along_slope + aside_slope * tangent + aside * (1 + tangent**2) / 2
    return along + aside * tangent, slope


def corner_pieces(turn: float, radius: float) -> tuple[CurvePiece, ...]:
    """Clothoid, arc, clothoid through `turn` radians, left positive."""
    k = math.copysign(1 / radius, turn)
    ease = radius * min(EASE, abs(turn))
    return (
        CurvePiece(ease, 0.0, k),
        CurvePiece(radius * abs(turn) - ease, k, k),
        CurvePiece(ease, k, 0.0),
    )


def arc_pieces(turn: float, radius: float) -> tuple[CurvePiece, ...]:
    """A plain arc through `turn` radians, left positive, with no ease: from fence to fence."""
    k = math.copysign(1 / radius, turn)
    return (CurvePiece(radius * abs(turn), k, k),)


def bend_pieces(turn: float, radius: float, before: float, after: float) -> tuple[CurvePiece, ...]:
    """A corner with a straight before and after it."""
    return (CurvePiece(before), *corner_pieces(turn, radius), CurvePiece(after))


def circle_pieces(turn_sign: int, radius: float, ease: float) -> tuple[CurvePiece, ...]:
    """A full circle entered and left through clothoids of `ease` metres.

    By symmetry it ends on the straight line it began on, facing the same way.
    """
    k = turn_sign / radius
    return (
        CurvePiece(ease, 0.0, k),
        CurvePiece(2 * math.pi * radius - ease, k, k),
        CurvePiece(ease, k, 0.0),
    )


def corner_places(turns: Floats) -> Floats:
    """SAMPLES places (..., SAMPLES, 2) along left corners of radius 1 m, good to 1e-3.

    They lie on the circle of the arc, which the eases leave by no more than that.
    """
    t = np.asarray(turns, dtype=float)
    along, aside = centres(t)
    heading = t[..., None] * (np.arange(SAMPLES) + 0.5) / SAMPLES
    place = (along + 1j * aside)[..., None] - 1j * np.exp(1j * heading)
    return np.stack([place.real, place.imag], axis=-1)


TABLE_STEP = math.radians(1.5)
SAMPLES = 9


@cache
def shape_table() -> tuple[Floats, Floats, Floats]:
    """Turns, reaches and sampled shapes of left corners of radius 1 m, for quick search.

    Shapes are (turns, SAMPLES, 2), as `corner_places` has them.
    """
    turns = np.arange(0, SHARPEST + TABLE_STEP, TABLE_STEP)
    return turns, reaches(turns)[0], corner_places(turns)
