"""A sheet full of measured lines, and how much of it a word would cover.

A word keeps off other words and off fences, and of two dozen tapes it covers least. Lines are held
as points close together with a weight, words and fences as convex corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from diagram.drawing.candidates import Candidate
from diagram.drawing.labels import Label, LabelLine, Place, box_at, label_size, text_wish
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.scene import Box

SPACING = 0.8
"""Millimetres between the points that stand for a line."""


Corners = tuple[Point, ...]
"""A convex area by its corners in order."""


class Areas:
    """Convex areas of four corners, with the boxes round them: most are told apart by those."""

    def __init__(self) -> None:
        self._areas: list[Corners] = []
        self._table: tuple[Floats, Floats] | None = None

    def add(self, corners: Corners) -> None:
        """One more."""
        self._areas.append(corners)
        self._table = None

    def under(self, wanted: Floats) -> list[int]:
        """How many of them each wanted area (n, 4, 2) would cover in part, one after another."""
        if not self._areas:
            return [0] * len(wanted)
        if self._table is None:
            areas = np.array(self._areas)
            self._table = areas, _boxes_round(areas)
        areas, boxes = self._table
        asked = _boxes_round(wanted)[:, None]
        near = (boxes[:, 0] < asked[..., 2]) & (boxes[:, 2] > asked[..., 0])
        near &= (boxes[:, 1] < asked[..., 3]) & (boxes[:, 3] > asked[..., 1])
        one, other = np.nonzero(near)
        covered = one[~apart(wanted[one], areas[other])]
        counts: list[int] = np.bincount(covered, minlength=len(wanted)).tolist()
        return counts


_Points = tuple[Floats, Floats, Floats]


class FullSheet:
    """Points with weights, and the areas of fences and of labels already placed."""

    def __init__(self, page: Box) -> None:
        self.page = page
        self._labels = Areas()
        self._fences = Areas()
        self._points: list[Floats] = []
        self._weights: list[Floats] = []
        self._joined: _Points | None = None

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
        self._fences.add(thin(a, b, BAR))

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

    def _all(self) -> _Points:
        """Where the points lie across and down, and their weights, in the order added."""
        if self._joined is None:
            x, y = np.concatenate([np.zeros((0, 2)), *self._points]).T.copy()
            self._joined = x, y, np.concatenate([np.zeros(0), *self._weights])
        return self._joined

    def covered(self, boxes: Sequence[Box]) -> list[float]:
        """Weight of all that each box would cover, other labels and the page's edge included."""
        return self.covered_by([corners_of(box) for box in boxes])

    def covered_by(self, wanted: Sequence[Corners]) -> list[float]:
        """The same of turned labels."""
        if not wanted:
            return []
        table = np.array(wanted)
        boxes, page = _boxes_round(table), self.page
        lines = self._points_under(table, boxes)
        labels, fences = self._labels.under(table), self._fences.under(table)
        out = []
        for n, (left, top, right, bottom) in enumerate(boxes.tolist()):
            total = lines[n] + OVER_LABEL * labels[n] + OVER_FENCE * fences[n]
            beyond = max(page.left - left, right - page.right, 0.0)
            beyond += max(page.top - top, bottom - page.bottom, 0.0)
            out.append(total + OFF_PAGE * beyond)
        return out

    def words_covered(self, boxes: Sequence[Box]) -> list[int]:
        """How many labels each box would cover in part."""
        return self._labels.under(np.array([corners_of(box) for box in boxes])) if boxes else []

    def words_under(self, lines: Sequence[tuple[Point, Point]]) -> list[int]:
        """How many labels each thin line would run through."""
        if not lines:
            return []
        return self._labels.under(np.array([thin(a, b, BAR) for a, b in lines]))

    def _points_under(self, wanted: Floats, boxes: Floats) -> list[float]:
        """Weight of the points inside each turned label (n, 4, 2) with its box (n, 4) round it."""
        x, y, weights = self._all()
        left, top, right, bottom = boxes.T[:, :, None]
        one, which = np.nonzero((x >= left) & (x <= right) & (y >= top) & (y <= bottom))
        px, py, corners = x[which], y[which], wanted[one]
        inside = np.ones(len(one), dtype=bool)
        for n in range(4):
            (ax, ay), (bx, by) = corners[:, n].T, corners[:, (n + 1) % 4].T
            inside &= (bx - ax) * (py - ay) - (by - ay) * (px - ax) > 0
        covered = np.bincount(one[inside], weights[which[inside]], minlength=len(wanted))
        totals: list[float] = covered.tolist()
        return totals


def thin(a: Point, b: Point, half: float) -> Corners:
    """A line `half` mm wide to either side as an area, clockwise on the paper."""
    length = math.dist(a, b) or 1.0
    x, y = (b[1] - a[1]) / length * half, (a[0] - b[0]) / length * half
    return (
        (a[0] + x, a[1] + y), (b[0] + x, b[1] + y), (b[0] - x, b[1] - y), (a[0] - x, a[1] - y),
    )  # fmt: skip


def corners_of(box: Box) -> Corners:
    """The corners of an upright box, clockwise on the paper as all corners here."""
    return (
        (box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom),
    )  # fmt: skip


def _boxes_round(areas: Floats) -> Floats:
    """(n, 4): left, top, right and bottom of areas (n, 4, 2)."""
    along = np.moveaxis(areas, 1, -1)
    return np.concatenate([_of_four(pick, along) for pick in (np.minimum, np.maximum)], axis=1)


def apart(one: Floats, other: Floats) -> NDArray[np.bool_]:
    """(n,): whether the line through some edge parts each convex area (n, 4, 2) from the `other`
    in its row; touching ones are apart."""
    out = _parted(one, one, other)
    meet = np.flatnonzero(~out)
    out[meet] = _parted(other[meet], one[meet], other[meet])
    return out


def _parted(edges: Floats, one: Floats, other: Floats) -> NDArray[np.bool_]:
    """Whether a line through some edge of one of the two parts them."""
    along = edges[:, [1, 2, 3, 0]] - edges
    nx, ny = along[:, :, None, 1], -along[:, :, None, 0]
    # (n, edges, corners): how far each corner lies beyond each edge.
    first = nx * one[:, None, :, 0] + ny * one[:, None, :, 1]
    second = nx * other[:, None, :, 0] + ny * other[:, None, :, 1]
    parted = _of_four(np.maximum, first) <= _of_four(np.minimum, second) + 1e-9
    parted |= _of_four(np.maximum, second) <= _of_four(np.minimum, first) + 1e-9
    return np.asarray(parted.any(axis=1))


def _of_four(pick: np.ufunc, values: Floats) -> Floats:
    """The largest or least of the four in the last axis: reducing so short an axis takes long."""
    a, b, c, d = (values[..., n] for n in range(4))
    picked: Floats = pick(pick(a, b), pick(c, d))
    return picked


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
    tried = list(candidates)
    boxes = [box_at(candidate.centre, width, height) for candidate in tried]
    best: tuple[float, Place] | None = None
    for candidate, box, covered in zip(tried, boxes, sheet.covered(boxes), strict=True):
        total = covered * COVERING + candidate.price
        if best is None or total < best[0] - 1e-9:
            best = total, Place(box, candidate.target, (), candidate)
        if covered == 0:
            break
    assert best is not None, "a word needs a candidate"
    sheet.add_box(best[1].box)
    return Label(name, text_wish(name, lines, ()).paint(best[1]), best[1])
