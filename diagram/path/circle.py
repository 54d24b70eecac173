"""A circle ridden on the way: put where the track is straight and there is most room for it, or
as near as can be to where it is said."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from diagram.geometry.corner import EASE, circle_pieces
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Point, Pose
from diagram.model.said import CircleSaid
from diagram.path.limits import GaitLimits
from diagram.path.room import Room

DIAMETERS = (20.0, 18.0, 15.0, 12.0, 10.0)
"""Metres, widest first. 20 m is the standard circle; 6 to 10 m is a volte (British Dressage,
published web article [R15])."""
TRIED = 41
SAMPLES = 48


class Circled(Struct, frozen=True):
    """A way with a circle in it, and the metres that this has to spare (negative: is short of)."""

    curve: Curve
    spare_m: float


def with_circle(
    curve: Curve,
    circle: CircleSaid,
    room: Room,
    limits: GaitLimits,
    near: Point | None = None,
    after: float = 0.0,
    before: float = 0.0,
) -> Circled:
    """`curve` with a full circle in one of its straights; as it was where it has none.

    Without a stated diameter it is the largest of DIAMETERS that keeps the limits, or the one
    that breaks them least. `after` and `before` metres beside the fences stay straight if they
    can; the middle of the circle comes as near to `near` as there is room.
    """
    asked = (circle.diameter,) if circle.diameter else DIAMETERS
    best: Circled | None = None
    for kept in ((after, before), (0.0, 0.0)):
        for diameter in asked:
            found = _best_place(curve, circle.left, diameter / 2, room, limits, near, kept)
            if found is not None and (best is None or found.spare_m > best.spare_m + 1e-6):
                best = found
            if best is not None and best.spare_m >= 0:
                return best
    return best or Circled(curve, -math.inf)


def _best_place(
    curve: Curve,
    left: bool,
    radius: float,
    room: Room,
    limits: GaitLimits,
    near: Point | None,
    kept: tuple[float, float],
) -> Circled | None:
    """The place nearest to `near` of those that keep the limits, else that with most room."""
    pieces = circle_pieces(1 if left else -1, radius, EASE * radius)
    whole = Curve.of(curve.start, pieces)
    advance = whole.end.seen_from(whole.start).x
    x, y, _, _ = whole.locate(np.linspace(0, whole.length, SAMPLES))
    shape = (x - whole.start.x + 1j * (y - whole.start.y)) * np.exp(-1j * whole.start.heading)
    best: tuple[float, float] | None = None
    chosen = 0.0
    for begin, finish in _straights(curve):
        earliest = max(begin, kept[0])
        latest = min(finish, curve.length - kept[1]) - advance
        if latest < earliest:
            continue
        stations = np.linspace(earliest, latest, TRIED)
        x, y, heading, _ = curve.locate(stations)
        places = (x + 1j * y)[:, None] + shape * np.exp(1j * heading)[:, None]
        points = np.stack([places.real, places.imag], axis=-1)
        spares = np.minimum(
            room.region.inside(points).min(axis=-1) - limits.manner.rail,
            room.clearance(points).min(axis=-1) - limits.manner.fences,
        )
        poses = map(Pose, x.tolist(), y.tolist(), heading.tolist())
        for s, pose, spare in zip(stations.tolist(), poses, spares.tolist(), strict=True):
            middle = pose.ahead(advance / 2, radius if left else -radius)
            off = middle.distance(near) if near else -spare
            # Room first as long as it is short, then the place said.
            score = (round(min(spare, 0.0), 6), round(-off, 6))
            if best is None or score > best:
                best, chosen, room_left = score, s, spare
    if best is None:
        return None
    rest = curve.part(chosen + advance, curve.length)
    before = curve.part(0.0, chosen)
    loop = Curve.of(curve.pose_at(chosen), pieces)
    return Circled(Curve.of(curve.start, before.pieces + loop.pieces + rest.pieces), room_left)


def _straights(curve: Curve) -> list[tuple[float, float]]:
    """Begin and end of the straight stretches."""
    found, at = [], 0.0
    for piece in curve.pieces:
        if piece.k0 == 0 and piece.k1 == 0 and piece.length > 0.5:
            found.append((at, at + piece.length))
        at += piece.length
    return found
