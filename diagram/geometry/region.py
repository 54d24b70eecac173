"""A simple polygon, and distances from many points to edges and segments at once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property, reduce

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point

ALIKE = 1e-7
"""Metres or radians that differ by less than this differ by rounding."""


class Region(Struct, frozen=True, dict=True):
    """The inside of a simple polygon. Corners run anticlockwise, metres."""

    corners: tuple[Point, ...]

    @classmethod
    def of(cls, corners: tuple[Point, ...]) -> Region:
        """A region with its corners put anticlockwise."""
        return cls(corners if signed_area(corners) > 0 else tuple(reversed(corners)))

    @property
    def edges(self) -> tuple[tuple[Point, Point], ...]:
        """Pairs of neighbouring corners."""
        return tuple(zip(self.corners, self.corners[1:] + self.corners[:1], strict=True))

    @cached_property
    def _edge_arrays(self) -> tuple[Floats, Floats]:
        corners = np.array(self.corners, dtype=float)
        return corners, np.roll(corners, -1, axis=0)

    @cached_property
    def headings(self) -> Floats:
        """Headings of the edges, each once, modulo a half turn."""
        headings = [
            round(math.atan2(b[1] - a[1], b[0] - a[0]) % math.pi, 6) % round(math.pi, 6)
            for a, b in self.edges
        ]
        return np.array(sorted(set(headings)))

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y."""
        xs, ys = zip(*self.corners, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    @cached_property
    def half_planes(self) -> tuple[Floats, Floats] | None:
        """Inward unit normals (m, 2) and offsets (m,) of a convex region, else None."""
        a, b = self._edge_arrays
        along = b - a
        normals = np.stack([-along[:, 1], along[:, 0]], axis=1)
        normals /= np.hypot(along[:, 0], along[:, 1])[:, None]
        offsets = (normals * a).sum(axis=1)
        if (a @ normals.T - offsets < -1e-9).any():
            return None
        return normals, offsets

    def _under_lines(self, points: Floats) -> Iterator[Floats]:
        """Metres from points (..., 2) to the line of each edge of a convex region, line by line."""
        assert self.half_planes is not None
        for (nx, ny), offset in zip(*self.half_planes, strict=True):
            yield points[..., 0] * nx + points[..., 1] * ny - offset

    def inside(self, points: Floats) -> Floats:
        """Metres from each of `points` (..., 2) to the nearest edge; negative outside.

        Outside a convex region it is the distance to the nearest line of an edge, which is never
        more than that to the edge itself.
        """
        if self.half_planes:
            # For a convex region the nearest edge is the nearest of the edges' lines.
            return reduce(np.minimum, self._under_lines(points))
        a, b = self._edge_arrays
        distance = segment_distances(points, a, b).min(axis=-1)
        px, py = points[..., 0, None], points[..., 1, None]
        crosses = (a[:, 1] > py) != (b[:, 1] > py)
        with np.errstate(divide="ignore", invalid="ignore"):
            x_at = a[:, 0] + (py - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
        odd = (crosses & (px < x_at)).sum(axis=-1) % 2 == 1
        signed: Floats = np.where(odd, distance, -distance)
        return signed

    def inside_and_slope(self, points: Floats) -> tuple[Floats, Floats]:
        """`inside` and its gradient (..., 2), which points away from the nearest edge."""
        if self.half_planes:
            depths = np.stack(list(self._under_lines(points)), axis=-1)
            nearest = first_least(depths)
            slope = self.half_planes[0][nearest]
            return np.take_along_axis(depths, nearest[..., None], -1)[..., 0], slope
        depth = self.inside(points)
        a, b = self._edge_arrays
        nearest = first_least(segment_distances(points, a, b))
        along = b[nearest] - a[nearest]
        from_a = points - a[nearest]
        share = np.clip((from_a * along).sum(-1) / (along**2).sum(-1), 0, 1)[..., None]
        away = (from_a - share * along) * np.sign(depth)[..., None]
        return depth, away / np.maximum(np.abs(depth), 1e-9)[..., None]

    def depth(self, point: Point) -> float:
        """`inside` for one point."""
        return float(self.inside(np.array([point]))[0])

    def ray_length(self, origin: Point, direction: Point) -> float:
        """Metres from `origin` along the unit `direction` to the first edge; inf if none."""
        best = math.inf
        for edge in self.edges:
            ahead = metres_to(edge, origin, direction)
            if ahead is not None and ahead > 1e-9:
                best = min(best, ahead)
        return best

    def mirrored(self) -> Region:
        """Reflected in the x axis."""
        return Region(tuple((x, -y) for x, y in reversed(self.corners)))


def metres_to(edge: tuple[Point, Point], origin: Point, direction: Point) -> float | None:
    """Metres from `origin` along the unit `direction`, or back (less than 0), to an edge."""
    (ax, ay), (bx, by) = edge
    ex, ey = bx - ax, by - ay
    cross = direction[0] * ey - direction[1] * ex
    if abs(cross) < 1e-12:
        return None
    u = ((ax - origin[0]) * direction[1] - (ay - origin[1]) * direction[0]) / cross
    if not -1e-9 <= u <= 1 + 1e-9:
        return None
    return ((ax - origin[0]) * ey - (ay - origin[1]) * ex) / cross


def first_least(values: Floats) -> NDArray[np.int64]:
    """Number of the least along the last axis; of those that are alike to ALIKE, the first.

    Processors differ in the last digits; so they still choose the same of two that are equal.
    """
    found: NDArray[np.int64] = (values + ALIKE * np.arange(values.shape[-1])).argmin(axis=-1)
    return found


def signed_area(corners: tuple[Point, ...]) -> float:
    """Shoelace formula; positive when the corners run anticlockwise."""
    total = 0.0
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        total += ax * by - bx * ay
    return total / 2


def segment_distances(points: Floats, a: Floats, b: Floats) -> Floats:
    """Distances (..., m) from `points` (..., 2) to the segments from `a` to `b` (m, 2)."""
    from_a = points[..., 0, None] - a[:, 0], points[..., 1, None] - a[:, 1]
    return _off_segments(*from_a, *(b - a).T)


def own_distances(x: Floats, y: Floats, a: Floats, b: Floats) -> Floats:
    """Distances (n,) from places, each to a segment of its own, from `a` to `b` (n, 2)."""
    return _off_segments(x - a[:, 0], y - a[:, 1], *(b - a).T)


def _off_segments(x: Floats, y: Floats, dx: Floats, dy: Floats) -> Floats:
    """Lengths from segments (dx, dy) of places (x, y) seen from where those begin; uses x and y up:
    this is the innermost loop of every search for a track."""
    squared = np.maximum(dx * dx + dy * dy, 1e-18)
    share = x * (dx / squared)
    share += y * (dy / squared)
    np.maximum(share, 0.0, out=share)
    np.minimum(share, 1.0, out=share)
    x -= share * dx
    y -= share * dy
    x *= x
    y *= y
    x += y
    return np.sqrt(x, out=x)
