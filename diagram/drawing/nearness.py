"""How far figures are from the lines of a drawing: whose a figure is, and what runs through it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from diagram.drawing.setting_crowd import Corners, apart, thin
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import box_around

Line = tuple[Point, Point]
"""Both ends on the paper."""

PEN = 0.25
"""Millimetres to either side of a line that its ink may take."""
NEARER, LED = 0.6, 2.0
"""Millimetres by which a figure is nearer to its own line than to any other; and which one keeps
from all others where a thin line leads to its own."""
SAME = 0.5
"""Millimetres up to which two lines lie on one another: their figures cannot be told apart."""
LOOKED = 40.0
"""Millimetres round a line within which others are looked at."""


def gaps(areas: Sequence[Corners], lines: Sequence[Line]) -> Floats:
    """(n, m): millimetres from each convex area of four corners to each line; 0 where it runs
    through."""
    quads = np.array(areas, dtype=float)
    out = np.full((len(quads), len(lines)), math.inf)
    if not out.size:
        return out
    edges = np.stack([quads, quads[:, [1, 2, 3, 0]]], axis=2)
    for m, line in enumerate(lines):
        a, b = np.array(line)
        corners = _to_stretch(quads, a, b)
        tips = [_to_stretch(tip, edges[:, :, 0], edges[:, :, 1]) for tip in (a, b)]
        out[:, m] = np.minimum(corners.min(axis=1), np.minimum(*(t.min(axis=1) for t in tips)))
        out[~apart(quads, np.broadcast_to(np.array(thin(*line, PEN)), quads.shape)), m] = 0.0
    return out


def own_and_others(
    areas: Sequence[Corners], own: Line, others: Sequence[Line], but_along: bool
) -> Floats:
    """(n, 2): millimetres from each area to its own line, and to the nearest of the others, `but`
    for those that lie `along` it."""
    near = [line for line in others if _reach(line, own) < LOOKED]
    near = [line for line in near if not (but_along and _along(line, own))]
    least = gaps(areas, near).min(axis=1, initial=math.inf)
    return np.stack([gaps(areas, [own])[:, 0], least], axis=1)


def _along(one: Line, other: Line) -> bool:
    """Whether the shorter of two lines lies on the longer one."""
    short, long = sorted((one, other), key=lambda line: math.dist(*line))
    a, b = np.array(long[0]), np.array(long[1])
    return bool(max(float(_to_stretch(np.array(tip), a, b)) for tip in short) < SAME)


def _reach(one: Line, other: Line) -> float:
    """Millimetres between the upright boxes round two lines."""
    boxes = [box_around(line) for line in (one, other)]
    across = max(box.left for box in boxes) - min(box.right for box in boxes)
    down = max(box.top for box in boxes) - min(box.bottom for box in boxes)
    return math.hypot(max(across, 0.0), max(down, 0.0))


def _to_stretch(at: Floats, a: Floats, b: Floats) -> Floats:
    """Millimetres from places to the stretches from `a` to `b`, arrays of one shape."""
    way = b - a
    length = np.maximum((way**2).sum(axis=-1), 1e-12)
    share = np.clip(((at - a) * way).sum(axis=-1) / length, 0.0, 1.0)
    rest: Floats = at - a - share[..., None] * way
    return np.asarray(np.hypot(rest[..., 0], rest[..., 1]))
