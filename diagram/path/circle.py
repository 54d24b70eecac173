"""A circle ridden on the way: put where the track is straight and there is most room for it."""

from __future__ import annotations

import math

import numpy as np

from diagram.geometry.corner import circle_pieces
from diagram.geometry.curve import Curve
from diagram.model.said import CircleSaid
from diagram.path.limits import GaitLimits
from diagram.path.room import Room

DIAMETERS = (20.0, 18.0, 15.0, 12.0, 10.0)
"""Metres, widest first. 20 m is the standard circle; 6 to 10 m is a volte (British Dressage,
published web article [R15])."""
TRIED = 21
SAMPLES = 48


def with_circle(curve: Curve, circle: CircleSaid, room: Room, limits: GaitLimits) -> Curve:
    """`curve` with a full circle in one of its straights.

    Without a stated diameter it is the largest of DIAMETERS that keeps the limits, or the one
    that breaks them least.
    """
    asked = (circle.diameter,) if circle.diameter else DIAMETERS
    best: tuple[float, Curve] | None = None
    for diameter in asked:
        room_left, candidate = _best_place(curve, circle.left, diameter / 2, room, limits)
        if best is None or room_left > best[0] + 1e-6:
            best = (room_left, candidate)
        if room_left >= 0:
            break
    return best[1] if best else curve


def _best_place(
    curve: Curve, left: bool, radius: float, room: Room, limits: GaitLimits
) -> tuple[float, Curve]:
    """The place with most room to spare (metres, negative if limits are broken)."""
    pieces = circle_pieces(1 if left else -1, radius, min(limits.stride_m, radius))
    whole = Curve.of(curve.start, pieces)
    advance = whole.end.seen_from(whole.start).x
    best: tuple[float, Curve] | None = None
    for begin, finish in _straights(curve):
        latest = finish - advance
        if latest < begin:
            continue
        for s in np.linspace(begin, latest, TRIED):
            at = curve.pose_at(float(s))
            loop = Curve.of(at, pieces)
            x, y, _, _ = loop.locate(np.linspace(0, loop.length, SAMPLES))
            points = np.stack([x, y], axis=1)
            spare = min(
                float(room.region.inside(points).min()) - limits.manner.rail,
                float(room.clearance(points).min()) - limits.manner.fences,
            )
            if best is None or spare > best[0] + 1e-9:
                rest = curve.part(float(s) + advance, curve.length)
                before = curve.part(0.0, float(s))
                best = (spare, Curve.of(curve.start, before.pieces + loop.pieces + rest.pieces))
    return best or (-math.inf, curve)


def _straights(curve: Curve) -> list[tuple[float, float]]:
    """Begin and end of the straight stretches."""
    found, at = [], 0.0
    for piece in curve.pieces:
        if piece.k0 == 0 and piece.k1 == 0 and piece.length > 0.5:
            found.append((at, at + piece.length))
        at += piece.length
    return found
