"""Diagonals that prove a field that is no rectangle: sides alone can be pushed out of shape."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from diagram.exercise.arena import Arena
from diagram.geometry.pose import Point
from diagram.stakeout.points import fixed_points
from diagram.stakeout.sides import visible

STEP_M = 0.01
"""Metres: ways to cut up a field whose diagonals differ by less in all are equally short."""


FLAT = 0.1
"""Height of a triangle as a share of its longest side under which its sides hold it badly."""


class Diagonal(Struct, frozen=True):
    """A length from corner to corner across the field, both by name."""

    start: str
    end: str
    metres: float


def diagonals(arena: Arena, proven: Point | None = None) -> tuple[Diagonal, ...]:
    """The shortest diagonals, in all, that cut a field into triangles: three fewer than corners,
    one less still where the angle at a `proven` corner is known, as good as the one across it.

    Sides and these together hold every corner. None for a rectangle, whose opposite sides are
    alike and one of whose corners is proven; none where no way to cut it lies inside the rail.
    (Minimum-weight triangulation by dynamic programming; Gilbert 1979, Klincsek 1980.)
    """
    corners = list(arena.region.corners)
    if arena.is_rectangle or len(corners) < 4:
        return ()
    names = {at: name for name, at in fixed_points(arena).items() if at in corners}
    if proven is not None:
        # The triangle at that corner is held; what is left has one corner less.
        turn = corners.index(proven)
        rest = corners[turn + 1 :] + corners[:turn]
        if _inside(arena, rest[0], rest[-1]) and (cuts := _cuts(arena, rest)) is not None:
            return _named(rest, cuts, names)
    return _named(corners, _cuts(arena, corners) or [], names)


def _named(
    corners: Sequence[Point], cuts: Sequence[tuple[int, int]], names: Mapping[Point, str]
) -> tuple[Diagonal, ...]:
    return tuple(
        Diagonal(names[corners[i]], names[corners[j]], math.dist(corners[i], corners[j]))
        for i, j in cuts
    )


def _cuts(arena: Arena, corners: Sequence[Point]) -> list[tuple[int, int]] | None:
    """The pairs of corners that diagonals join; None where no way to cut it is found."""
    count = len(corners)
    usable = {
        (i, j): j - i == 1 or (i, j) == (0, count - 1) or _inside(arena, corners[i], corners[j])
        for i in range(count)
        for j in range(i + 1, count)
    }
    least: dict[tuple[int, int], tuple[float, int]] = {}
    for gap in range(1, count):
        for i in range(count - gap):
            j = i + gap
            if gap == 1:
                least[i, j] = (0.0, -1)
                continue
            best = (math.inf, -1)
            for k in range(i + 1, j):
                if _flat(corners[i], corners[k], corners[j]):
                    continue
                price = least[i, k][0] + least[k, j][0]
                if usable[i, j] and price < best[0] - STEP_M:
                    best = (price, k)
            own = 0.0 if (i, j) == (0, count - 1) else math.dist(corners[i], corners[j])
            least[i, j] = (best[0] + own, best[1])
    if math.isinf(least[0, count - 1][0]):
        return None
    out: list[tuple[int, int]] = []
    left = [(0, count - 1)]
    while left:
        i, j = left.pop()
        k = least[i, j][1]
        if k < 0:
            continue
        out += [pair for pair in ((i, k), (k, j)) if pair[1] - pair[0] > 1]
        left += [(k, j), (i, k)]
    return sorted(out)


def _flat(a: Point, b: Point, c: Point) -> bool:
    """Whether three sides hold the middle corner of a triangle badly: it could give way across."""
    twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return twice < FLAT * max(math.dist(a, b), math.dist(b, c), math.dist(a, c)) ** 2


def _inside(arena: Arena, a: Point, b: Point) -> bool:
    return bool(visible(arena, a, np.array([b]))[0])
