"""The arena from above: rail, gate, letters, posts, and the names of its sides."""

from __future__ import annotations

import math
import re

from msgspec import Struct

from diagram.drawing.frame import Frame
from diagram.exercise.arena import Arena, GatePlace
from diagram.geometry.pose import Point
from diagram.scene import Disc, Group, Item, Stroke, Text
from diagram.style import ARENA_RAIL, INK, PAPER, SIDE_NAME, Pen, points, text_width

LETTER_GAP = 3.6
"""Millimetres from the rail to the middle of a letter."""
GATE_FOOT = 2.0
POST, POST_PEN = 0.85, Pen(INK, 0.5)
SPACED = points(0.9)
"""Millimetres added between the letters of a side's name."""
OFF_RAIL = 1.6
NAME_LINE = SIDE_NAME * 1.3
_PLAIN = re.compile(r"bottom|right|top|left|side \d+")


def arena_marks(arena: Arena, frame: Frame) -> Group:
    """The rail with its gate, the letters and the posts."""
    marks: list[Item] = _rail(arena, frame)
    marks.extend(_letters(arena, frame))
    marks.extend(
        Disc(frame.at(point), POST, fill=PAPER, pen=POST_PEN) for point in arena.posts.values()
    )
    return Group("arena", tuple(marks), f"Arena {arena.name}")


def _rail(arena: Arena, frame: Frame) -> list[Item]:
    """The rail, open at the gate with a foot at either end."""
    gate = arena.gate
    marks: list[Item] = []
    for name, (begin, end) in arena.sides.items():
        if gate is None or gate.side != name:
            marks.append(Stroke(frame.many((begin, end)), RAIL, sized="ground"))
            continue
        near, far = sorted(gate_posts(gate), key=lambda post: _along(begin, end, post))
        marks.append(Stroke(frame.many((begin, near)), RAIL, sized="ground"))
        marks.append(Stroke(frame.many((far, end)), RAIL, sized="ground"))
        dx, dy = frame.direction(arena.outward(name))
        for x, y in (frame.at(near), frame.at(far)):
            foot = ((x - dx * 0.3, y - dy * 0.3), (x + dx * GATE_FOOT, y + dy * GATE_FOOT))
            marks.append(Stroke(foot, ARENA_RAIL))
    return marks


RAIL = Pen(INK, ARENA_RAIL.width, (), "round")


def _along(begin: Point, end: Point, point: Point) -> float:
    return (point[0] - begin[0]) * (end[0] - begin[0]) + (point[1] - begin[1]) * (end[1] - begin[1])


def gate_posts(gate: GatePlace) -> tuple[Point, Point]:
    """Both ends of the open gate, in the arena."""
    (x, y), (dx, dy), half = gate.middle, gate.direction, gate.width / 2
    return (x - dx * half, y - dy * half), (x + dx * half, y + dy * half)


def _letters(arena: Arena, frame: Frame) -> list[Item]:
    return [
        _letter(arena, letter, point, frame)
        for letter, point in arena.letters.items()
        if arena.region.depth(point) < 0.01
    ]


def _letter(arena: Arena, text: str, point: Point, frame: Frame) -> Text:
    """A letter just outside the rail beside a point on it."""
    x, y = frame.at(point)
    dx, dy = frame.direction(arena.outward(arena.side_at(point)))
    at = (x + dx * LETTER_GAP, y + dy * LETTER_GAP + SIDE_NAME * 0.33)
    return Text(at, text, SIDE_NAME, "bold", "middle")


class SideName(Struct, frozen=True):
    """A side's name outside the rail: its lines, how it is turned, and how far out it begins."""

    side: str
    lines: tuple[str, ...]
    angle: float
    middle: Point
    out: Point


def named_sides(arena: Arena) -> tuple[str, ...]:
    """Sides that somebody has named; ``left`` and ``side 3`` are none."""
    return tuple(name for name in arena.sides if not _PLAIN.fullmatch(name))


def spaced_width(text: str) -> float:
    """Millimetres of a letterspaced name in capitals."""
    return text_width(text.upper(), SIDE_NAME, "semibold") + SPACED * max(len(text) - 1, 0)


def letter_room(arena: Arena) -> float:
    """Millimetres outside the rail that letters take."""
    return LETTER_GAP + SIDE_NAME * 0.5 if arena.letters else 0.0


def side_name(arena: Arena, side: str, frame: Frame, turned: bool) -> SideName:
    """Where and how a name stands: level beside a level or upright side, along a slanted one.

    An upright side has its name in lines of one word each; `turned` sets it along the side.
    """
    begin, end = arena.sides[side]
    (ax, ay), (bx, by) = frame.at(begin), frame.at(end)
    out = frame.direction(arena.outward(side))
    middle = ((ax + bx) / 2, (ay + by) / 2)
    dx, dy = bx - ax, by - ay
    if dx < -1e-6 or (abs(dx) <= 1e-6 and dy > 0):
        dx, dy = -dx, -dy
    slope = -math.degrees(math.atan2(dy, dx))
    if abs(slope) < 1.0:
        return SideName(side, (side.upper(),), 0.0, middle, out)
    if abs(abs(slope) - 90) < 1.0 and not turned:
        return SideName(side, tuple(side.upper().split(" ")), 0.0, middle, out)
    return SideName(side, (side.upper(),), slope, middle, out)


def side_room(name: SideName) -> float:
    """Millimetres that a name takes outward from the rail."""
    dx, dy = abs(name.out[0]), abs(name.out[1])
    if name.angle or dy > 0.9:
        return OFF_RAIL + SIDE_NAME * 0.7 + 0.3
    wide = max(spaced_width(line) for line in name.lines)
    return OFF_RAIL + dx * wide + dy * NAME_LINE * len(name.lines)


def side_marks(name: SideName, at: Point) -> Group:
    """The name with its middle at `at`."""
    x, y = at
    turn = math.radians(name.angle)
    down = math.sin(turn), math.cos(turn)
    marks: list[Item] = []
    for n, line in enumerate(name.lines):
        v = (n - (len(name.lines) - 1) / 2) * NAME_LINE + SIDE_NAME * 0.33
        place = (x + down[0] * v, y + down[1] * v)
        marks.append(Text(place, line, SIDE_NAME, "semibold", "middle", name.angle, spacing=SPACED))
    return Group(f"side-{name.side.replace(' ', '-')}", tuple(marks), name.side)


def side_size(name: SideName) -> tuple[float, float]:
    """Width and height of the box round a name as it is set."""
    wide = max(spaced_width(line) for line in name.lines)
    tall = NAME_LINE * (len(name.lines) - 1) + SIDE_NAME * 0.7
    turn = math.radians(name.angle)
    cos, sin = abs(math.cos(turn)), abs(math.sin(turn))
    return wide * cos + tall * sin, wide * sin + tall * cos
