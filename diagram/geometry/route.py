"""A route: straight lines through vertices, each vertex rounded by a smooth corner.

The start, the vertices and the end fix the lines; the radius of a corner is as large as the
lines beside it allow, up to a cap. `measure` sizes many candidate routes at once for a search;
`build` makes the exact curve of one.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from diagram.geometry.corner import corner_pieces, reach, run, shape_table
from diagram.geometry.curve import Curve, CurvePiece, Floats
from diagram.geometry.pose import Pose, wrap

STRAIGHT_SAMPLES = 9
TINY = 1e-9


class Sized(Struct, frozen=True):
    """Candidate routes with their corners sized. N routes of m vertices.

    `points` (N, m + 2, 2), `turns` and `radii` (N, m), `lines` (N, m + 1) lengths between
    points, `length` (N,), `first` and `last` straight metres (N,).
    """

    points: Floats
    turns: Floats
    radii: Floats
    lines: Floats
    headings: Floats
    reaches: Floats
    length: Floats
    first: Floats
    last: Floats

    def pick(self, index: npt.NDArray[np.intp]) -> Sized:
        """Some of the routes."""
        return Sized(*(getattr(self, name)[index] for name in self.__struct_fields__))


def measure(points: Floats, out: float, into: float, cap: float) -> Sized:
    """Size the corners of routes through `points` (N, m + 2, 2).

    `out` and `into` metres at both ends stay straight; `cap` is the greatest radius. Corners
    on one line share it in proportion to their reach, so neighbours get like radii.
    """
    delta = np.diff(points, axis=1)
    lines = np.hypot(delta[..., 0], delta[..., 1])
    headings = np.arctan2(delta[..., 1], delta[..., 0])
    turns = np.diff(headings, axis=1)
    turns = turns - 2 * np.pi * np.round(turns / (2 * np.pi))
    table_turns, table_reaches, _ = shape_table()
    reaches = np.interp(np.abs(turns), table_turns, table_reaches)
    free = lines.copy()
    free[:, 0] -= out
    free[:, -1] -= into
    needed = _ended(reaches, first=True) + _ended(reaches, first=False)
    share = free / np.maximum(needed, TINY)
    radii = np.minimum(np.minimum(share[:, :-1], share[:, 1:]), cap)
    radii = np.maximum(radii, TINY)
    length = lines.sum(axis=1) - (radii * (2 * reaches - run(turns))).sum(axis=1)
    first = lines[:, 0] - radii[:, 0] * reaches[:, 0]
    last = lines[:, -1] - radii[:, -1] * reaches[:, -1]
    return Sized(points, turns, radii, lines, headings, reaches, length, first, last)


def _ended(values: Floats, first: bool) -> Floats:
    """`values` (N, m) with a column of noughts before or after: corners seen from lines."""
    out = np.zeros((values.shape[0], values.shape[1] + 1))
    out[:, slice(1, None) if first else slice(None, -1)] = values
    return out


def samples(sized: Sized) -> Floats:
    """Places along each route, (N, k, 2): some on every corner and on every straight."""
    turns, radii, reaches = sized.turns, sized.radii, sized.reaches
    table_turns, _, shapes = shape_table()
    index = np.minimum(np.searchsorted(table_turns, np.abs(turns)), len(table_turns) - 1)
    shape = shapes[index] * radii[..., None, None]
    ahead, left = shape[..., 0], shape[..., 1] * np.sign(turns)[..., None]
    begin_back = (radii * reaches)[..., None]
    c, s = np.cos(sized.headings[:, :-1]), np.sin(sized.headings[:, :-1])
    x = sized.points[:, 1:-1, 0, None] + (ahead - begin_back) * c[..., None] - left * s[..., None]
    y = sized.points[:, 1:-1, 1, None] + (ahead - begin_back) * s[..., None] + left * c[..., None]
    corners = np.stack([x, y], axis=-1).reshape(len(turns), -1, 2)
    share = np.linspace(0.0, 1.0, STRAIGHT_SAMPLES)
    from_ = _ended(radii * reaches, first=True)
    to = sized.lines - _ended(radii * reaches, first=False)
    along = from_[..., None] + (to - from_)[..., None] * share
    unit = np.stack([np.cos(sized.headings), np.sin(sized.headings)], axis=-1)
    straights = sized.points[:, :-1, None, :] + along[..., None] * unit[:, :, None, :]
    return np.concatenate([corners, straights.reshape(len(turns), -1, 2)], axis=1)


def build(start: Pose, vertices: Floats, radii: Floats, end: Pose) -> Curve:
    """The exact curve from `start` through smooth corners at `vertices` (m, 2) to `end`.

    The first vertex must lie ahead of `start` and the last one behind `end`; the curve then
    ends on `end` to rounding error.
    """
    kept = [(float(x), float(y), float(r)) for (x, y), r in zip(vertices, radii, strict=True)]
    headings = _headings(start, [(x, y) for x, y, _ in kept], end)
    pieces: list[CurvePiece] = []
    here = start.point
    used = 0.0
    for i, (x, y, radius) in enumerate(kept):
        turn = wrap(headings[i + 1] - headings[i])
        back = radius * reach(turn) if abs(turn) > TINY else 0.0
        pieces.append(CurvePiece(max(0.0, math.dist(here, (x, y)) - used - back)))
        if abs(turn) > TINY:
            pieces.extend(corner_pieces(turn, radius))
        here, used = (x, y), back
    pieces.append(CurvePiece(max(0.0, math.dist(here, end.point) - used)))
    return Curve.of(start, tuple(pieces))


def _headings(start: Pose, vertices: list[tuple[float, float]], end: Pose) -> list[float]:
    """Heading of each line; the first and last are the given ones, free of rounding."""
    between = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in itertools.pairwise(vertices)]
    return [start.heading, *between, end.heading]
