"""How tight a track is and how straight: the one measure for solver, drawing and checks.

*Tight* is the radius of the circle that the horse goes round, judged over two strides of travel:
the sharpest point of an ease, or a swing of half a stride, is no turn. *Straight* is the way from
a fence to where the track bends more than a rider would notice.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Curve, CurvePiece, Floats
from diagram.path.limits import GaitLimits
from diagram.trade.riding import riding

STRIDES = 2
"""Strides of travel over which a turn is judged (common practice, no source)."""
SAME_RADIUS_M = 0.1
"""A radius short by less than this is as wanted: nobody rides to 10 cm."""
SAME_STRIDE = 0.25
"""Nor to the quarter stride."""


class Tightness(Struct, frozen=True):
    """Radius in metres of the tightest circle gone round (infinite where all is straight), and
    metres along the track to its middle."""

    radius_m: float
    at_m: float


def nearly_straight() -> float:
    """1/m. A curve of less is ridden as a straight line."""
    return 1 / riding().turns.nearly_straight.value


def tightness(curve: Curve, stride_m: float) -> Tightness:
    """The tightest circle that is gone round over two strides of `stride_m` metres.

    That is two strides over the most that is turned to one hand in them. Exact: what is turned in
    a window is piecewise quadratic in where the window begins.
    """
    window = min(STRIDES * stride_m, curve.length)
    if window <= 0:
        return Tightness(math.inf, 0.0)
    # To a hand to which it never bends nothing is turned.
    bent = [
        hand for hand in (1, -1) if any(p.k0 * hand > 0 or p.k1 * hand > 0 for p in curve.pieces)
    ]
    most, at = max(
        (_most_turned(curve, hand, window) for hand in bent or (1,)), key=lambda found: found[0]
    )
    return Tightness(window / most if most > 1e-12 else math.inf, at)


def _most_turned(curve: Curve, hand: int, window: float) -> tuple[float, float]:
    """The most radians turned to one hand in a window, and the middle of the window."""
    knots, bends = _one_handed(curve.pieces, hand)
    headings = np.concatenate([[0.0], np.cumsum(np.diff(knots) * bends.sum(axis=1) / 2)])

    def turned(s: Floats) -> Floats:
        index = np.searchsorted(knots, s, side="right") - 1
        index = np.minimum(np.maximum(index, 0), len(bends) - 1)
        # A piece of no length at all has no bend to be shared out over it.
        u, length = s - knots[index], np.maximum((knots[1:] - knots[:-1])[index], 1e-12)
        k0, k1 = bends[index].T
        angle: Floats = headings[index] + k0 * u + (k1 - k0) * u * u / (2 * length)
        return angle

    last = knots[-1] - window
    breaks = np.clip(np.concatenate([knots, knots - window]), 0.0, last)
    breaks = np.sort(np.round(breaks, 9))
    breaks = breaks[np.diff(breaks, prepend=-1.0) > 0]
    tries = [breaks]
    if len(breaks) > 1:
        # Between breaks the slope is linear; where it passes nought downwards there is a summit.
        a, b = breaks[:-1], breaks[1:]
        third = (b - a) / 3
        value = turned(a + window) - turned(a), turned(b + window) - turned(b)
        inner = turned(a + third + window) - turned(a + third)
        curvature = 1.5 * (value[1] + 2 * value[0] - 3 * inner) / (b - a) ** 2
        slope = (value[1] - value[0]) / (b - a) - curvature * (b - a)
        with np.errstate(divide="ignore", invalid="ignore"):
            summit = np.where(curvature < -1e-12, -slope / (2 * curvature), 0.0)
        tries.append(a + np.clip(summit, 0.0, b - a))
        tries.append((a + b) / 2)
    begins = np.concatenate(tries)
    amounts = turned(begins + window) - turned(begins)
    most = float(amounts.max())
    equal = begins[amounts > most - 1e-9]
    middle = float(equal.min() + equal.max()) / 2
    nearest = float(equal[np.abs(equal - middle).argmin()])
    return most, nearest + window / 2


def _one_handed(pieces: tuple[CurvePiece, ...], hand: int) -> tuple[Floats, Floats]:
    """Knots, and the curvature to one hand at both ends of what lies between them."""
    knots, bends, at = [0.0], [], 0.0
    for piece in pieces:
        k0, k1 = piece.k0 * hand, piece.k1 * hand
        if k0 * k1 < 0:
            zero = piece.length * k0 / (k0 - k1)
            parts = [(zero, k0, 0.0), (piece.length - zero, 0.0, k1)]
        else:
            parts = [(piece.length, k0, k1)]
        for length, first, last in parts:
            if length > 1e-9:
                at += length
                knots.append(at)
                bends.append((max(first, 0.0), max(last, 0.0)))
    return np.array(knots), np.array(bends)


def straight_after(curve: Curve) -> float:
    """Metres from the begin of a track until it bends noticeably."""
    return _straight(curve.pieces)


def straight_before(curve: Curve) -> float:
    """Metres from where a track last bends noticeably to its end."""
    return _straight(tuple(CurvePiece(p.length, p.k1, p.k0) for p in reversed(curve.pieces)))


def _straight(pieces: tuple[CurvePiece, ...]) -> float:
    least, total = nearly_straight(), 0.0
    for piece in pieces:
        first, last = abs(piece.k0), abs(piece.k1)
        if first > least:
            return total
        if last > least:
            return total + piece.length * (least - first) / (last - first)
        total += piece.length
    return total


def straight_strides(metres: float, limits: GaitLimits) -> float:
    """Strides on so many straight metres beside a fence, less the landing or take-off."""
    return max(0.0, (metres - limits.landing_m) / limits.stride_m)


def bends_noticeably(curve: Curve) -> bool:
    """Whether a track is anything but a straight line to a rider."""
    return curve.tightest > nearly_straight()
