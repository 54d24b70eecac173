"""Placing words: candidates in a fixed order, the first free one taken, else the least bad.

Every label says where it would like to stand as a list of candidates, best first. Nothing is
random and nothing is moved afterwards, so a small change of a file moves few labels.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagram.drawing.crowd import Crowd
from diagram.geometry.pose import Point
from diagram.scene import Box, Group, Item, Stroke, Text
from diagram.style import INK, LEADER, Weight, text_width

LINE_GAP = 1.12
"""Baseline to baseline, as a share of the type size."""
PADDING = 0.5
COVERING = 3.0
"""Millimetres further away that a label would go to cover one point less."""
LEADER_FROM = 4.5
"""Millimetres from the thing meant beyond which a label gets a leader line."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a label."""

    text: str
    size: float
    weight: Weight = "regular"
    colour: str = INK


@dataclass(frozen=True, slots=True)
class Candidate:
    """A place for the middle of a label, what it points at, and what being there costs."""

    centre: Point
    target: Point
    price: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where a label went: its box, what it points at, what it covers (0 when it is free), and
    how many candidates were looked at."""

    box: Box
    target: Point
    covered: float
    tried: int

    @property
    def centre(self) -> Point:
        """The middle of the box."""
        return ((self.box.left + self.box.right) / 2, (self.box.top + self.box.bottom) / 2)


@dataclass(frozen=True, slots=True)
class Label:
    """A label with its marks and its place."""

    name: str
    marks: Group
    place: Place


def label_size(lines: Iterable[Line]) -> tuple[float, float]:
    """Width and height in mm of lines of text, with padding."""
    rows = list(lines)
    width = max(text_width(row.text, row.size, row.weight) for row in rows)
    height = sum(row.size * LINE_GAP for row in rows)
    return width + 2 * PADDING, height + 2 * PADDING


def choose_place(size: tuple[float, float], candidates: Iterable[Candidate], crowd: Crowd) -> Place:
    """The first candidate that is free, or the one where a box of `size` covers least.

    The box is added to the crowd. Raises ValueError without candidates.
    """
    best: tuple[float, float, Candidate] | None = None
    tried = 0
    for candidate in candidates:
        tried += 1
        covered = crowd.covered(_box(candidate.centre, *size))
        total = covered * COVERING + candidate.price
        if best is None or total < best[0] - 1e-9:
            best = (total, covered, candidate)
        if covered == 0:
            break
    if best is None:
        raise ValueError("a label needs a candidate")
    _, covered, chosen = best
    box = _box(chosen.centre, *size)
    crowd.add_box(box)
    return Place(box, chosen.target, covered, tried)


def text_label(
    name: str, lines: tuple[Line, ...], candidates: Iterable[Candidate], crowd: Crowd
) -> Label:
    """Lines of text on white, at the best of the candidates, with a leader if it is far."""
    place = choose_place(label_size(lines), candidates, crowd)
    return Label(name, Group(f"label-{name}", tuple(_marks(lines, place))), place)


def _box(centre: Point, width: float, height: float) -> Box:
    x, y = centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _marks(lines: tuple[Line, ...], place: Place) -> Iterator[Item]:
    (x, y), box = place.target, place.box
    near = (min(max(x, box.left), box.right), min(max(y, box.top), box.bottom))
    if math.dist(near, (x, y)) > LEADER_FROM:
        yield Stroke((near, (x, y)), LEADER)
    top = box.top + PADDING
    for line in lines:
        # The middle of the capitals lies in the middle of the row.
        baseline = top + line.size * (LINE_GAP / 2 + 0.33)
        at = (place.centre[0], baseline)
        yield Text(at, line.text, line.size, line.weight, "middle", 0.0, line.colour)
        top += line.size * LINE_GAP


def beside_curve(
    poses: Iterable[tuple[Point, Point, float]],
    size: tuple[float, float],
    gaps: tuple[float, ...] = (1.6, 3.0, 5.5, 9.0, 14.0),
) -> Iterator[Candidate]:
    """Candidates on both sides of places along a line.

    `poses` are (place, unit vector across the line, price); a label stands off the line by
    each of `gaps` mm, measured to its nearest corner or edge.
    """
    places = list(poses)
    width, height = size
    for gap in gaps:
        for (x, y), (nx, ny), price in places:
            half = (abs(nx) * width + abs(ny) * height) / 2
            for side in (1, -1):
                reach = side * (half + gap)
                centre = (x + nx * reach, y + ny * reach)
                yield Candidate(centre, (x, y), price + gap * 0.4 + (0.1 if side < 0 else 0.0))


def around_point(
    point: Point, size: tuple[float, float], gaps: tuple[float, ...] = (1.5, 3.5, 6.0, 10.0)
) -> Iterator[Candidate]:
    """Candidates in eight directions round a point, nearest first."""
    width, height = size
    for gap in gaps:
        for n, (dx, dy) in enumerate(_DIRECTIONS):
            reach_x, reach_y = dx * (width / 2 + gap), dy * (height / 2 + gap)
            yield Candidate((point[0] + reach_x, point[1] + reach_y), point, gap + n * 0.05)


_DIRECTIONS = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))
