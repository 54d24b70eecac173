"""The arena from above: rail, gate, letters, posts, and the centre line as a faint guide."""

from __future__ import annotations

import math

from diagram.drawing.frame import Frame
from diagram.geometry.pose import Point
from diagram.layout.arena import Arena, GatePlace
from diagram.scene import Disc, Group, Item, Stroke, Text
from diagram.style import (
    ARENA_RAIL,
    CENTRE_LINE,
    LABEL,
    SMALL,
    SOFT_INK,
    text_width,
)

LETTER_GAP = 3.2
"""Millimetres from the rail to the middle of a letter."""
POST_TICK = 1.6


def arena_marks(arena: Arena, frame: Frame) -> Group:
    """Everything of the arena that lies under the ride."""
    marks: list[Item] = [*_centre_lines(arena, frame), *_rail(arena, frame)]
    if arena.gate:
        marks.extend(_gate(arena, arena.gate, frame))
    marks.extend(_letters(arena, frame))
    for name, point in arena.posts.items():
        marks.append(Disc(frame.at(point), 0.7, fill=SOFT_INK))
        marks.append(_beside(arena, name, point, frame, SMALL))
    return Group("arena", tuple(marks), f"Arena {arena.name}")


def _rail(arena: Arena, frame: Frame) -> list[Item]:
    """The rail, open at the gate."""
    gate = arena.gate
    marks: list[Item] = []
    for name, (begin, end) in arena.sides.items():
        if gate is None or gate.side != name:
            marks.append(Stroke(frame.many((begin, end)), ARENA_RAIL, sized="ground"))
            continue
        posts = _gate_posts(gate)
        near, far = sorted(posts, key=lambda post: _along(begin, end, post))
        marks.append(Stroke(frame.many((begin, near)), ARENA_RAIL, sized="ground"))
        marks.append(Stroke(frame.many((far, end)), ARENA_RAIL, sized="ground"))
    return marks


def _along(begin: Point, end: Point, point: Point) -> float:
    return (point[0] - begin[0]) * (end[0] - begin[0]) + (point[1] - begin[1]) * (end[1] - begin[1])


def _gate_posts(gate: GatePlace) -> tuple[Point, Point]:
    (x, y), (dx, dy), half = gate.middle, gate.direction, gate.width / 2
    return (x - dx * half, y - dy * half), (x + dx * half, y + dy * half)


def _gate(arena: Arena, gate: GatePlace, frame: Frame) -> list[Item]:
    """Two posts and the word, outside the rail."""
    marks: list[Item] = [
        Disc(frame.at(post), POST_TICK / 2, fill=SOFT_INK) for post in _gate_posts(gate)
    ]
    # A letter may stand in the middle of the gate: the word then goes beside the gate's post.
    taken = any(math.dist(gate.middle, at) < frame.metres(6) for at in arena.letters.values())
    (x, y), (dx, dy) = gate.middle, gate.direction
    beside = gate.width / 2 + frame.metres(5)
    place = (x - dx * beside, y - dy * beside) if taken else gate.middle
    marks.append(_beside(arena, "gate", place, frame, LABEL))
    return marks


def _letters(arena: Arena, frame: Frame) -> list[Item]:
    return [
        _beside(arena, letter, point, frame, LABEL)
        for letter, point in arena.letters.items()
        if arena.region.depth(point) < 0.01
    ]


def _beside(arena: Arena, text: str, point: Point, frame: Frame, size: float) -> Text:
    """A word just outside the rail beside a point on it; inside, beside the point itself."""
    x, y = frame.at(point)
    if arena.region.depth(point) > 0.05:
        return Text((x + 1.4, y + size * 0.35), text, size, colour=SOFT_INK)
    heading = arena.outward(arena.side_at(point))
    outward = (math.cos(heading), math.sin(heading))
    half = text_width(text, size) / 2
    reach = LETTER_GAP + abs(outward[0]) * max(0.0, half - 1.0)
    middle = (x + outward[0] * reach, y - outward[1] * reach)
    return Text((middle[0], middle[1] + size * 0.35), text, size, "semibold", "middle",
                colour=SOFT_INK)  # fmt: skip


def _centre_lines(arena: Arena, frame: Frame) -> list[Item]:
    if not arena.is_rectangle:
        return []
    x0, y0, x1, y1 = arena.region.bounds
    middle = (y0 + y1) / 2
    return [Stroke(frame.many([(x0, middle), (x1, middle)]), CENTRE_LINE, sized="ground")]
