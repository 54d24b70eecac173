"""How far figures are from the lines of a drawing: whose a figure is, and what runs through it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from diagram.drawing.setting_crowd import Corners, apart, thin
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point

Line = tuple[Point, Point]
"""Both ends on the paper."""
Lines = Sequence[Line] | Floats
"""As they are, or in one table (m, 2, 2)."""

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
    every = np.ones((len(areas), len(lines)), dtype=bool)
    return _gaps_where(every, np.array(areas, dtype=float), lines)


def struck(areas: Sequence[Corners], lines: Sequence[Line]) -> NDArray[np.bool_]:
    """(n, m): whether each line runs through each area."""
    return _struck(np.array(areas, dtype=float), lines)


def _struck(quads: Floats, lines: Lines) -> NDArray[np.bool_]:
    out = np.zeros((len(quads), len(lines)), dtype=bool)
    if not out.size:
        return out
    bars = np.array([thin(one[0], one[1], PEN) for one in lines])
    area, line = np.nonzero(_between_boxes(quads, bars) <= 0.0)
    out[area, line] = ~apart(quads[area], bars[line])
    return out


def _gaps_where(wanted: NDArray[np.bool_], quads: Floats, lines: Lines) -> Floats:
    """The gaps that are wanted (n, m); the others infinite."""
    out = np.full(wanted.shape, math.inf)
    area, line = np.nonzero(wanted)
    if not len(area):
        return out
    corners, ends = quads[area], np.array(lines, dtype=float)[line]
    a, b = ends[:, None, 0], ends[:, None, 1]
    edges = corners, corners[:, [1, 2, 3, 0]]
    tips = [_to_stretch(tip, *edges).min(axis=1) for tip in (a, b)]
    found = np.minimum(_to_stretch(corners, a, b).min(axis=1), np.minimum(*tips))
    out[area, line] = np.where(_struck(quads, lines)[area, line], 0.0, found)
    return out


def _between_boxes(one: Floats, other: Floats) -> Floats:
    """(n, m): millimetres between the upright boxes round areas (n, k, 2) and (m, j, 2)."""
    off = np.maximum(
        one.min(axis=1)[:, None] - other.max(axis=1), other.min(axis=1) - one.max(axis=1)[:, None]
    )
    apart_by: Floats = np.hypot(*np.maximum(off, 0.0).transpose(2, 0, 1))
    return apart_by


def own_and_others(
    areas: Sequence[Corners], own: Line, others: Sequence[Line], but_along: bool
) -> Floats:
    """(n, 2): millimetres from each area to its own line, and to the nearest of the others, `but`
    for those that lie `along` it. Of others so far away that it is of no account, infinite."""
    ends, mine_ends = np.array(others, dtype=float).reshape(-1, 2, 2), np.array(own, dtype=float)
    ends = ends[_between_boxes(mine_ends[None], ends)[0] < LOOKED]
    if but_along:
        ends = ends[~_along(ends, mine_ends)]
    mine, quads = gaps(areas, [own])[:, 0], np.array(areas, dtype=float)
    # From upright box to upright box is no further than from area to line.
    close = _between_boxes(quads, ends) < np.maximum(mine + NEARER, LED)[:, None] + PEN
    return np.stack([mine, _gaps_where(close, quads, ends).min(axis=1, initial=math.inf)], axis=1)


def _along(lines: Floats, other: Floats) -> NDArray[np.bool_]:
    """Of each line (m, 2, 2) whether the shorter of it and the other (2, 2) lies on the longer."""
    shorter = np.hypot(*(lines[:, 1] - lines[:, 0]).T) <= math.dist(*other)
    short = np.where(shorter[:, None, None], lines, other)
    long = np.where(shorter[:, None, None], other, lines)
    tips = [_to_stretch(short[:, n], long[:, 0], long[:, 1]) for n in (0, 1)]
    return np.asarray(np.maximum(*tips) < SAME)


def _to_stretch(at: Floats, a: Floats, b: Floats) -> Floats:
    """Millimetres from places to the stretches from `a` to `b`, arrays of one shape."""
    way = b - a
    (x, y), (u, v) = np.moveaxis(at - a, -1, 0), np.moveaxis(way, -1, 0)
    share = np.clip((x * u + y * v) / np.maximum(u * u + v * v, 1e-12), 0.0, 1.0)
    rest: Floats = at - a - share[..., None] * way
    return np.asarray(np.hypot(rest[..., 0], rest[..., 1]))
