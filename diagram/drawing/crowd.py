"""What is already on the paper, and whether a box would lie on any of it.

Everything is held as one kind of obstacle: a straight piece with a width, or a box. The test is
exact (separating axes), and done for many boxes at once. Each obstacle says what it is, so that
a place refused can say why.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box

Flags = npt.NDArray[np.bool_]

HATCH = 2.0
"""Millimetres between the lines that stand for an area: no label is small enough to lie between."""
AREA_EDGE = 0.8
"""Millimetres: the widest pen that runs along the edge of an area."""
AT_FIRST = 1024
"""Obstacles for which there is room at first: most drawings need no more."""
PAGE = "edge of the page"

Row = tuple[float, float, float, float, float, float]


def round_boxes(centre: Point, radius: float) -> list[Box]:
    """A disc as four boxes that leave its corners free."""
    x, y = centre
    out = []
    for wide in (0.98, 0.83, 0.56, 0.2):
        half, tall = radius * wide, radius * math.sqrt(1 - wide * wide)
        out.append(Box(x - half, y - tall, x + half, y + tall))
    return out


class Crowd:
    """Obstacles on a page."""

    def __init__(self, page: Box) -> None:
        self.page = page
        self._names: dict[str, int] = {}
        self._count = 0
        self._table: Floats = np.empty((6, AT_FIRST))
        self._kinds = np.empty(AT_FIRST, dtype=np.intp)

    def _add(self, rows: Sequence[Row], kind: str) -> None:
        """Middle, half the way from end to end, and what is added all round, of each obstacle."""
        if not rows:
            return
        begin, end = self._count, self._count + len(rows)
        while end > len(self._kinds):
            self._table = np.concatenate([self._table, np.empty_like(self._table)], axis=1)
            self._kinds = np.concatenate([self._kinds, np.empty_like(self._kinds)])
        self._table[:, begin:end] = np.array(rows).T
        self._kinds[begin:end] = self._names.setdefault(kind, len(self._names))
        self._count = end

    def add_line(self, points: Iterable[Point], kind: str, width: float = 0.0) -> None:
        """A polyline drawn `width` mm wide."""
        grow = width / 2
        pairs = itertools.pairwise(points)
        rows = [
            ((ax + bx) / 2, (ay + by) / 2, (bx - ax) / 2, (by - ay) / 2, grow, grow)
            for (ax, ay), (bx, by) in pairs
        ]
        self._add(rows, kind)

    def add_area(self, corners: Sequence[Point], kind: str) -> None:
        """A four-cornered area, as lines across it."""
        a, b, c, d = corners
        rows = max(2, math.ceil(math.dist(a, d) / HATCH) + 1)
        for n in range(rows):
            share = n / (rows - 1)
            self.add_line(
                [
                    (a[0] + (d[0] - a[0]) * share, a[1] + (d[1] - a[1]) * share),
                    (b[0] + (c[0] - b[0]) * share, b[1] + (c[1] - b[1]) * share),
                ],
                kind,
                AREA_EDGE,
            )

    def add_box(self, box: Box, kind: str) -> None:
        """A label that has been placed, or a mark of its size."""
        x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        self._add([(x, y, 0.0, 0.0, box.width / 2, box.height / 2)], kind)

    def add_disc(self, centre: Point, radius: float, kind: str) -> None:
        """A round mark."""
        for box in round_boxes(centre, radius):
            self.add_box(box, kind)

    def __len__(self) -> int:
        """How many obstacles there are."""
        return self._count

    def cut_back(self, count: int) -> None:
        """Forget all obstacles but the first `count`: what was tried and did not come off."""
        self._count = count

    @property
    def kinds(self) -> frozenset[str]:
        """All kinds of obstacle that there ever were on the page."""
        return frozenset(self._names)

    def covered(self, boxes: Sequence[Box], passing: frozenset[str] = frozenset()) -> list[str]:
        """For each box what it would lie on first, in the order added; empty when it is free.

        Obstacles of the kinds in `passing` may be lain on.
        """
        if not boxes:
            return []
        edges = np.array([(b.left, b.top, b.right, b.bottom) for b in boxes])
        page = self.page
        off = (
            (edges[:, 0] < page.left)
            | (edges[:, 1] < page.top)
            | (edges[:, 2] > page.right)
            | (edges[:, 3] > page.bottom)
        )
        first = self._first_hits(edges, passing)
        named = list(self._names)
        return [
            PAGE if beyond else (named[self._kinds[hit]] if hit >= 0 else "")
            for beyond, hit in zip(off.tolist(), first.tolist(), strict=True)
        ]

    def line_covered(self, a: Point, b: Point, clear: float, passing: frozenset[str]) -> str:
        """What a thin line from `a` to `b` would come nearer than `clear` mm to; empty if nothing.

        Obstacles of the kinds in `passing` may be crossed.
        """
        hits = np.flatnonzero(self._crossed(a, b, clear) & self._in_the_way(passing))
        return list(self._names)[self._kinds[hits[0]]] if len(hits) else ""

    def _in_the_way(self, passing: frozenset[str]) -> Flags:
        """(m obstacles): which are of no kind in `passing`."""
        kept = np.array([name not in passing for name in self._names], bool)
        flags: Flags = kept[self._kinds[: self._count]]
        return flags

    def _crossed(self, a: Point, b: Point, clear: float) -> Flags:
        """(m obstacles): whether the line comes near; edge normals of both as separating axes."""
        mx, my, ex, ey, gx, gy = self._obstacles()
        lx, ly = (b[0] - a[0]) / 2, (b[1] - a[1]) / 2
        dx, dy = (a[0] + b[0]) / 2 - mx, (a[1] + b[1]) / 2 - my
        gx, gy = gx + clear, gy + clear
        skew = np.abs(lx * ey - ly * ex)
        hits: Flags = (
            (np.abs(dx) < abs(lx) + np.abs(ex) + gx)
            & (np.abs(dy) < abs(ly) + np.abs(ey) + gy)
            & (np.abs(dx * ey - dy * ex) <= skew + gx * np.abs(ey) + gy * np.abs(ex))
            & (np.abs(dx * ly - dy * lx) <= skew + gx * abs(ly) + gy * abs(lx))
        )
        return hits

    def _obstacles(self) -> Floats:
        """(6, m): middle, half the way from end to end, and what is added all round."""
        return self._table[:, : self._count]

    def _first_hits(self, edges: Floats, passing: frozenset[str]) -> npt.NDArray[np.intp]:
        low, high = edges[:, :2].min(axis=0), edges[:, 2:].max(axis=0)
        mx, my, ex, ey, gx, gy = self._obstacles()
        wide, tall = np.abs(ex) + gx, np.abs(ey) + gy
        # Most of what is on the page is near to none of the boxes.
        near = (mx + wide > low[0]) & (mx - wide < high[0])
        near &= (my + tall > low[1]) & (my - tall < high[1])
        if passing:
            near &= self._in_the_way(passing)
        some = np.flatnonzero(near)
        if not len(some):
            return np.full(len(edges), -1)
        hits = _share_ground(edges, self._obstacles()[:, some])
        found: npt.NDArray[np.intp] = np.where(hits.any(axis=1), some[hits.argmax(axis=1)], -1)
        return found


def _share_ground(edges: Floats, obstacles: Floats) -> Flags:
    """(n boxes, m obstacles): whether they share an area; `obstacles` as in `Crowd`."""
    mx, my, ex, ey, gx, gy = obstacles
    cx, cy = (edges[:, 0] + edges[:, 2])[:, None] / 2, (edges[:, 1] + edges[:, 3])[:, None] / 2
    hx = (edges[:, 2] - edges[:, 0])[:, None] / 2 + gx
    hy = (edges[:, 3] - edges[:, 1])[:, None] / 2 + gy
    dx, dy = cx - mx, cy - my
    ax, ay = np.abs(ex), np.abs(ey)
    hits: Flags = (
        (np.abs(dx) < hx + ax)
        & (np.abs(dy) < hy + ay)
        & (np.abs(dx * ey - dy * ex) <= hx * ay + hy * ax)
    )
    return hits
