"""One single corner from fence to fence: the rounded half-turn of a rollback or a loop.

With `q` straight metres left before the fence, the end in the frame of the start at (X, Y) and
the corner of radius 1 m ending at (cx, cy), the radius is ``r = (Y - q sin net) / cy`` and the
straight after the first fence ``p = X - r cx - q cos net``. So the family has one unknown, q.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from diagram.geometry.corner import bend_pieces, corner_pieces, run
from diagram.geometry.curve import Curve, Floats
from diagram.geometry.pose import Pose
from diagram.path.room import Task

TRIED = 81
LONGEST_STRAIGHT = 60.0
SAMPLES = 24
ROUND_HALVINGS = 5


@dataclass(frozen=True, slots=True)
class Sweep:
    """The best single corner, what it costs and what it breaks (price units)."""

    curve: Curve
    price: float
    broken: float


def sweep(task: Task) -> Sweep | None:
    """The best single corner for the task; None when no radius fits it."""
    unit = Curve.of(Pose(0, 0, 0), corner_pieces(task.net, 1.0))
    if abs(unit.end.y) < 0.05:
        return None
    x, y, _, _ = unit.locate((np.arange(SAMPLES) + 0.5) / SAMPLES * unit.length)
    shape = np.stack([x, y], axis=1)
    spread = LONGEST_STRAIGHT / (TRIED - 1)
    q: Floats = task.manner.into + np.arange(TRIED, dtype=np.float64) * spread
    best: tuple[float, float, float] | None = None
    for _ in range(ROUND_HALVINGS):
        found = _cheapest(task, unit, shape, q)
        if found is None:
            break
        best = found
        spread /= 4
        q = np.maximum(best[0] + np.arange(-4, 5) * spread, task.manner.into)
    if best is None:
        return None
    (radius,), (out,) = _radius_and_out(task, unit, np.array([best[0]]))
    pieces = bend_pieces(task.net, float(radius), float(out), best[0])
    return Sweep(Curve.of(task.start, pieces), best[1], best[2])


def _radius_and_out(task: Task, unit: Curve, q: Floats) -> tuple[Floats, Floats]:
    local = task.end.seen_from(task.start)
    radius = (local.y - q * math.sin(task.net)) / unit.end.y
    return radius, local.x - radius * unit.end.x - q * math.cos(task.net)


def _cheapest(
    task: Task, unit: Curve, shape: Floats, q: Floats
) -> tuple[float, float, float] | None:
    """Straight before the fence, price and broken part of the best of many, if any fits."""
    radius, out = _radius_and_out(task, unit, q)
    fits = (radius > 1.0) & (out > 0)
    q, radius, out = q[fits], radius[fits], out[fits]
    if not len(q):
        return None
    turns = np.full((len(q), 1), task.net)
    length = out + radius * float(run(task.net)) + q
    price, broken = task.shape_price(length, turns, radius[:, None], out, q)
    start, end = task.start, task.end
    ahead = out[:, None] + radius[:, None] * shape[:, 0]
    left = radius[:, None] * shape[:, 1]
    (c, s), (ex, ey) = start.direction, end.direction
    corner = np.stack([start.x + ahead * c - left * s, start.y + ahead * s + left * c], axis=-1)
    share = np.linspace(0, 1, 6)
    before = np.array(end.point) - (q[:, None] * share)[..., None] * np.array([ex, ey])
    after = np.array(start.point) + (out[:, None] * share)[..., None] * np.array([c, s])
    points = np.concatenate([after, corner, before], axis=1)
    wall, wall_broken = task.wall_price(points, corner[:, SAMPLES // 2 : SAMPLES // 2 + 1])
    total = np.round(price + broken + wall + wall_broken, 9)
    i = int(np.argmin(total))
    return float(q[i]), float(total[i]), float((broken + wall_broken)[i])
