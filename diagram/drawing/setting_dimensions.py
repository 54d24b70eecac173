"""A measured line with its reading written on it, where it covers least."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from diagram.drawing.frame import Frame
from diagram.drawing.setting_crowd import FullSheet
from diagram.geometry.pose import Point
from diagram.scene import Box, Disc, Fill, Item, Stroke, Text
from diagram.style import INK, PAPER, Pen, Weight, text_width

SHARES = (
    0.5, 0.56, 0.44, 0.62, 0.38, 0.68, 0.32, 0.74, 0.26, 0.8, 0.2, 0.53, 0.47, 0.65, 0.35, 0.86,
    0.14,
)  # fmt: skip
"""Places along a line that are tried for its reading, the middle first."""
OFF_MIDDLE = 0.8
"""Points of cover that a place at the end of the line costs more than one in the middle."""
PAD = 0.5


@dataclass(frozen=True, slots=True)
class Dimension:
    """A line on the ground and what a tape reads along it.

    With `beyond`, a unit vector, the reading stands outside that way of `start`, with a tick.
    """

    start: Point
    end: Point
    text: str
    size: float
    pen: Pen
    weight: Weight = "semibold"
    dots: bool = False
    beyond: Point | None = None


def dimension_marks(
    one: Dimension, frame: Frame, crowd: FullSheet
) -> tuple[list[Item], list[Item]]:
    """The line, and over it the reading; the reading's place is taken in the crowd."""
    a, b = frame.at(one.start), frame.at(one.end)
    if one.beyond is not None:
        return _beyond(one, a, crowd)
    line: list[Item] = [Stroke((a, b), one.pen, sized="ground")]
    if one.dots:
        line += [Disc(a, 0.6), Disc(b, 0.6)]
    length = math.dist(a, b)
    width = text_width(one.text, one.size, one.weight) + 2 * PAD
    if length < 1e-6 or not one.text:
        return line, []
    u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    if u[0] < -1e-9 or (abs(u[0]) <= 1e-9 and u[1] > 0):
        u = (-u[0], -u[1])
    choices = []
    for n, share in enumerate(SHARES):
        if abs(share - 0.5) * length > max(0.0, (length - width) / 2) and n:
            continue
        middle = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        boxes = list(_boxes(middle, u, width, one.size))
        price = sum(crowd.covered(box) for box in boxes) + OFF_MIDDLE * abs(share - 0.5) * 2
        choices.append((price, n, middle, boxes))
    _, _, middle, boxes = min(choices, key=lambda choice: choice[:2])
    for box in boxes:
        crowd.add_box(box)
    return line, list(_text(one, middle, u, width))


def _beyond(one: Dimension, at: Point, crowd: FullSheet) -> tuple[list[Item], list[Item]]:
    """A tick across the side and the reading outside, upright to the side."""
    assert one.beyond is not None
    dx, dy = one.beyond[0], -one.beyond[1]
    u = (dx, dy) if dx > 1e-9 or (abs(dx) <= 1e-9 and dy < 0) else (-dx, -dy)
    width = text_width(one.text, one.size, one.weight) + 2 * PAD
    tick = Stroke((at, (at[0] + dx * 2.0, at[1] + dy * 2.0)), Pen(INK, 0.25))
    best = None
    for n, aside in enumerate((0.0, 1.6, -1.6, 3.2, -3.2)):
        reach = 2.6 + width / 2
        middle = (at[0] + dx * reach - dy * aside, at[1] + dy * reach + dx * aside)
        boxes = list(_boxes(middle, u, width, one.size))
        price = sum(crowd.covered(box) for box in boxes)
        if best is None or price < best[0]:
            best = (price, n, middle, boxes)
    assert best is not None
    for box in best[3]:
        crowd.add_box(box)
    return [tick], list(_text(one, best[2], u, width))


def _boxes(middle: Point, u: Point, width: float, size: float) -> Iterator[Box]:
    """Small upright boxes that together cover a turned text."""
    half = size * 0.5
    count = max(1, math.ceil(width / size))
    for n in range(count):
        along = ((n + 0.5) / count - 0.5) * width
        x, y = middle[0] + u[0] * along, middle[1] + u[1] * along
        yield Box(x - half, y - half, x + half, y + half)


def _text(one: Dimension, middle: Point, u: Point, width: float) -> Iterator[Item]:
    """The reading on white, along the line."""
    half_w, half_h = width / 2, one.size * 0.46
    v = (-u[1], u[0])
    corners = tuple(
        (
            middle[0] + u[0] * sx * half_w + v[0] * sy * half_h,
            middle[1] + u[1] * sx * half_w + v[1] * sy * half_h,
        )
        for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    yield Fill(corners, PAPER)
    down = one.size * 0.33
    at = (middle[0] + v[0] * down, middle[1] + v[1] * down)
    turn = math.degrees(math.atan2(-u[1], u[0]))
    yield Text(at, one.text, one.size, one.weight, "middle", turn, INK)
