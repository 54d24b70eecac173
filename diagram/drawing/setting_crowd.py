"""A sheet full of measured lines, and how much of it a word would cover.

A word keeps off other words and off fences, and of two dozen tapes it covers least. Lines are held
as points close together with a weight, words and fences as convex corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from diagram.drawing.candidates import Candidate
from diagram.drawing.labels import Label, LabelLine, Place, label_size, text_wish
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box

SPACING = 0.8
"""Millimetres between the points that stand for a line."""


Corners = tuple[Point, ...]
"""A convex area by its corners in order."""


class Areas:
    """Convex areas, with the boxes round them: most are told apart by those."""

    def __init__(self) -> None:
        self._areas: list[Corners] = []
        self._boxes: list[tuple[float, float, float, float]] = []
        self._joined: Floats | None = None

    def add(self, corners: Corners) -> None:
        """One more."""
        self._areas.append(corners)
        self._boxes.append(_box_round(corners))
        self._joined = None

    def under(self, corners: Corners) -> int:
        """How many of them an area would cover in part."""
        if not self._areas:
            return 0
        left, top, right, bottom = _box_round(corners)
        if self._joined is None:
            self._joined = np.array(self._boxes)
        boxes = self._joined
        near = (boxes[:, 0] < right) & (boxes[:, 2] > left)
        near &= (boxes[:, 1] < bottom) & (boxes[:, 3] > top)
        return sum(not apart(corners, self._areas[n]) for n in np.flatnonzero(near))


class FullSheet:
    """Points with weights, and the areas of fences and of labels already placed."""

    def __init__(self, page: Box) -> None:
        self.page = page
        self._labels = Areas()
        self._fences = Areas()
        self._points: list[Floats] = []
        self._weights: list[Floats] = []
        self._joined: tuple[Floats, Floats] | None = None

    def add_line(self, points: Iterable[Point], weight: float = 1.0) -> None:
        """A polyline."""
        corners = np.array(list(points), dtype=float)
        if len(corners) < 2:
            return
        steps = np.hypot(*np.diff(corners, axis=0).T)
        along = np.concatenate([[0.0], np.cumsum(steps)])
        count = max(2, math.ceil(along[-1] / SPACING) + 1)
        places = np.linspace(0.0, along[-1], count)
        x, y = (np.interp(places, along, corners[:, axis]) for axis in (0, 1))
        self._add(np.stack([x, y], axis=1), weight)

    def add_fence(self, corners: Iterable[Point]) -> None:
        """A fence."""
        self._fences.add(tuple(corners))

    def add_bar(self, a: Point, b: Point) -> None:
        """A pole, a foot or a ground line of a fence."""
        length = math.dist(a, b) or 1.0
        x, y = (b[1] - a[1]) / length * BAR, (a[0] - b[0]) / length * BAR
        self._fences.add(
            ((a[0] + x, a[1] + y), (b[0] + x, b[1] + y), (b[0] - x, b[1] - y), (a[0] - x, a[1] - y))
        )

    def add_box(self, box: Box) -> None:
        """A label that has been placed."""
        self._labels.add(corners_of(box))

    def add_label(self, corners: Corners) -> None:
        """A turned label that has been placed."""
        self._labels.add(corners)

    def _add(self, points: Floats, weight: float) -> None:
        self._points.append(points)
        self._weights.append(np.full(len(points), weight))
        self._joined = None

    def _all(self) -> tuple[Floats, Floats]:
        if self._joined is None:
            empty = np.zeros((0, 2))
            self._joined = (
                np.concatenate([empty, *self._points]),
                np.concatenate([np.zeros(0), *self._weights]),
            )
        return self._joined

    def covered(self, box: Box) -> float:
        """Weight of all that `box` would cover, other labels and the page's edge included."""
        return self.covered_by(corners_of(box))

    def covered_by(self, corners: Corners) -> float:
        """The same of a turned label."""
        points, weights = self._all()
        inside = np.ones(len(points), dtype=bool)
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
            inside &= (bx - ax) * (points[:, 1] - ay) - (by - ay) * (points[:, 0] - ax) > 0
        total = float(weights[inside].sum())
        total += OVER_LABEL * self._labels.under(corners) + OVER_FENCE * self._fences.under(corners)
        page, xs, ys = self.page, [x for x, _ in corners], [y for _, y in corners]
        out = max(page.left - min(xs), max(xs) - page.right, 0.0) + max(
            page.top - min(ys), max(ys) - page.bottom, 0.0
        )
        return total + OFF_PAGE * out


def corners_of(box: Box) -> Corners:
    """The corners of an upright box, clockwise on the paper as all corners here."""
    return (
        (box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom),
    )  # fmt: skip


def _box_round(corners: Corners) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def apart(one: Corners, other: Corners) -> bool:
    """Whether the line through some edge parts two convex areas; touching ones are apart."""
    for shape in (one, other):
        for (ax, ay), (bx, by) in zip(shape, (*shape[1:], shape[0]), strict=True):
            nx, ny = by - ay, ax - bx
            first = [nx * x + ny * y for x, y in one]
            second = [nx * x + ny * y for x, y in other]
            if max(first) <= min(second) + 1e-9 or max(second) <= min(first) + 1e-9:
                return True
    return False


BAR = 0.3
"""Half the width of a bar in millimetres."""
OVER_FENCE = 120.0
OVER_LABEL = 150.0
OFF_PAGE = 40.0
COVERING = 3.0
"""Millimetres further away that a word would go to cover one point less."""


def least_covering(
    name: str, lines: tuple[LabelLine, ...], candidates: Iterable[Candidate], sheet: FullSheet
) -> Label:
    """Lines of text at the first free candidate, or where they cover least."""
    width, height = label_size(lines)
    best: tuple[float, Place] | None = None
    for candidate in candidates:
        x, y = candidate.centre
        box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        covered = sheet.covered(box)
        total = covered * COVERING + candidate.price
        if best is None or total < best[0] - 1e-9:
            best = total, Place(box, candidate.target, (), candidate)
        if covered == 0:
            break
    assert best is not None, "a word needs a candidate"
    sheet.add_box(best[1].box)
    return Label(name, text_wish(name, lines, ()).paint(best[1]), best[1])
