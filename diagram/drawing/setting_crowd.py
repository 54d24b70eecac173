"""A sheet full of measured lines, and how much of it a word would cover.

No word finds a free place among two dozen tapes; it goes where it covers least. Everything is
held as points close together with a weight, so that a fence counts for more than a thin line.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from diagram.drawing.labels import Candidate, Label, LabelLine, Place, label_size, text_wish
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box

SPACING = 0.8
"""Millimetres between the points that stand for a line."""


class FullSheet:
    """Points with weights, and the boxes of labels already placed."""

    def __init__(self, page: Box) -> None:
        self.page = page
        self.boxes: list[Box] = []
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

    def add_area(self, corners: Iterable[Point], weight: float = 1.0) -> None:
        """A convex four-cornered area, covered with points."""
        a, b, c, d = (np.array(corner, dtype=float) for corner in corners)
        rows = max(2, math.ceil(float(np.hypot(*(d - a))) / SPACING) + 1)
        for share in np.linspace(0, 1, rows):
            self.add_line([tuple(a + (d - a) * share), tuple(b + (c - b) * share)], weight)

    def add_box(self, box: Box) -> None:
        """A label that has been placed."""
        self.boxes.append(box)

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
        points, weights = self._all()
        inside = (
            (points[:, 0] > box.left)
            & (points[:, 0] < box.right)
            & (points[:, 1] > box.top)
            & (points[:, 1] < box.bottom)
        )
        total = float(weights[inside].sum())
        total += sum(OVER_LABEL for other in self.boxes if box.overlaps(other))
        page = self.page
        out = max(page.left - box.left, box.right - page.right, 0.0) + max(
            page.top - box.top, box.bottom - page.bottom, 0.0
        )
        return total + OFF_PAGE * out


OVER_LABEL = 60.0
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
