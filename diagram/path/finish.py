"""Where a ride ends: on no other track, if there is room.

The way out is as long as is usual (`open_ways`), and the last part of it is ridden in the gait that
is finished in. Where that part would lie on another track, or on the way out itself where it comes
round, horses would be walking where others of the same group canter, and on paper nobody can
tell the two apart. So the way is cut, or ridden straight on for as long as there is room, by
as little as frees it; where nothing does it stays as long as it was.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Curve, Floats
from diagram.geometry.pose import Pose
from diagram.geometry.region import ALIKE
from diagram.path.limits import GaitLimits
from diagram.path.room import Room
from diagram.trade.limits import Limit
from diagram.trade.riding import riding
from diagram.trade.words import Gait

LAST_PART = 0.75
"""Share of the way out after which a walk or trot to finish in begins."""
LAST_M = 4.6
"""Metres of it at most: a quarter of a usual way out, however long the circle before it is."""
LAST_LEAST_M = 1.8
"""As little where there is not so much room behind the track that is crossed last."""
MOST_OF_IT = 0.8
"""Share of the way out that all gaits to finish in have together, at most."""
LOOK_M, STEP_M = 0.5, 0.5
"""Metres between the places looked at, and between the lengths tried."""
HERE_M = 6.0
"""Metres along the way out that are here, not another pass."""
BEFORE_THE_END = Limit("fence-in-the-way", "before the end")
WITH = math.radians(17)
"""Tracks that lie with each other to this are drawn side by side (`drawing.strand`)."""


class Ended(Struct, frozen=True):
    """A way out, and how many metres at its end are ridden in the gaits that are finished in."""

    curve: Curve
    last_m: float


def finish_apart(
    way: Curve, others: Sequence[Curve], gaits: Sequence[Gait], room: Room, limits: GaitLimits,
    cut: bool,
) -> Ended:  # fmt: skip
    """The way out `way` with its last part off all `others`; only ever longer where it may not be
    `cut`."""
    away = riding().get_away
    straight = limits.landing_m + away.straight_strides.value * limits.stride_m
    least = min(straight / LAST_PART, way.length) if cut else way.length
    more = (away.strides_at_most.value - away.strides.value) * limits.stride_m
    longest = _onward(way, more, room, limits)
    tracks = np.concatenate([np.zeros((0, 3)), *(_track(other) for other in others)])
    count = int((longest.length - least) / STEP_M)
    lengths = [way.length, *(least + n * STEP_M for n in range(count + 1))]
    lengths.sort(key=lambda length: (round(abs(length - way.length), 6), length))
    off = away.off_other_tracks
    most_free = BEFORE_THE_END.value
    wanted = (most_free, most_free / 2, 0.0), (off.typical, off.low), (LAST_M, LAST_LEAST_M)

    @cache
    def ended(length: float) -> Curve:
        return way if length == way.length else longest.part(0.0, length)

    @cache
    def free(length: float) -> float:
        return free_ahead_m(ended(length).end, room)

    for ahead, apart, most in itertools.product(*wanted):
        for length in lengths:
            if ahead and free(length) < ahead:
                continue
            last_m = _last_part(length, gaits, most)
            if _is_apart(ended(length), last_m, tracks, apart):
                return Ended(ended(length), last_m)
    return Ended(way, _last_part(way.length, gaits, LAST_M))


def free_ahead_m(end: Pose, room: Room) -> float:
    """Metres before an end, BEFORE_THE_END at most, without an obstacle that the ride heads for: a
    horse may not stop there."""
    metres = np.arange(0.0, BEFORE_THE_END.value, LOOK_M / 2)
    on = np.array(end.point) + metres[:, None] * np.array(end.direction)
    met = np.flatnonzero(room.clearance(on) <= LOOK_M / 2)
    return float(metres[met[0]]) if len(met) else BEFORE_THE_END.value


def _last_part(length_m: float, gaits: Sequence[Gait], most_m: float) -> float:
    """Metres ridden in all gaits to finish in, of one `most_m` at most; a halt has no length."""
    lasting = sum(gait != "halt" for gait in gaits)
    each = min(length_m * min(1.0 - LAST_PART, MOST_OF_IT / max(lasting, 1)), most_m)
    return each * lasting


def _onward(way: Curve, more: float, room: Room, limits: GaitLimits) -> Curve:
    """A way ridden straight on for `more` metres, or as far as there is room for it."""
    points = Curve.straight(way.end, more).points(STEP_M)
    free = room.region.inside(points) >= limits.manner.rail - ALIKE
    free &= room.clearance(points) >= limits.manner.fences - ALIKE
    steps = len(points) - 1 if free.all() else int(free.argmin()) - 1
    if steps < 1:
        return way
    return way.then(Curve.straight(way.end, more * steps / (len(points) - 1)))


def _track(curve: Curve) -> Floats:
    """Places every LOOK_M along a way: x, y and heading, (n, 3)."""
    x, y, heading, _ = curve.locate(curve.stations(LOOK_M))
    return np.stack([x, y, heading], axis=1)


def _is_apart(way: Curve, last_m: float, tracks: Floats, apart_m: float) -> bool:
    """Whether the last part crosses no other track, and no earlier part of the same way."""
    stations, places = way.stations(LOOK_M), _track(way)
    begin = way.length - last_m
    last = places[stations >= begin - ALIKE]
    seen = np.concatenate([tracks, places[stations < begin - HERE_M]])
    if not len(seen):
        return True
    across, along = (last[:, None, n] - seen[None, :, n] for n in (0, 1))
    row, column = np.nonzero(np.hypot(across, along) < apart_m - ALIKE)
    crossing = np.abs(np.sin(last[row, 2] - seen[column, 2])) > math.sin(WITH)
    return not bool(crossing.any())
