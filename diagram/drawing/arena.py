"""The arena from above: rail, gate, letters, posts, and the centre line as a faint guide."""

from __future__ import annotations

import math
from collections.abc import Iterable

from diagram.drawing.frame import Frame
from diagram.exercise.arena import Arena, GatePlace
from diagram.geometry.pose import Point
from diagram.scene import Box, Disc, Group, Item, Stroke, Text
from diagram.style import (
    ARENA_RAIL,
    CENTRE_LINE,
    LABEL,
    SOFT_INK,
    text_width,
)

LETTER_GAP = 3.2
"""Millimetres from the rail to the middle of a letter."""
POST_TICK = 1.6


def arena_marks(arena: Arena, frame: Frame) -> Group:
    """Everything of the arena that lies under the ride, but for its guide lines."""
    marks: list[Item] = _rail(arena, frame)
    if arena.gate:
        marks.extend(_gate(arena, arena.gate, frame))
    marks.extend(_letters(arena, frame))
    marks.extend(Disc(frame.at(point), 0.7, fill=SOFT_INK) for point in arena.posts.values())
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
    """A word just outside the rail beside a point on it."""
    x, y = frame.at(point)
    outward = frame.direction(arena.outward(arena.side_at(point)))
    half = text_width(text, size) / 2
    reach = LETTER_GAP + abs(outward[0]) * max(0.0, half - 1.0)
    middle = (x + outward[0] * reach, y + outward[1] * reach)
    return Text((middle[0], middle[1] + size * 0.35), text, size, "semibold", "middle",
                colour=SOFT_INK)  # fmt: skip


def guide_marks(arena: Arena, frame: Frame, covered: Iterable[Box]) -> Group:
    """The centre line, left out where something else is to be read."""
    marks: list[Item] = []
    if arena.is_rectangle:
        x0, y0, x1, y1 = arena.region.bounds
        middle = (y0 + y1) / 2
        a, b = frame.many([(x0, middle), (x1, middle)])
        marks = [
            Stroke((begin, end), CENTRE_LINE, sized="ground")
            for begin, end in _left_free(a, b, covered)
        ]
    return Group("guides", tuple(marks))


def _left_free(a: Point, b: Point, covered: Iterable[Box]) -> list[tuple[Point, Point]]:
    """The parts of a level or upright line that lie in none of the boxes."""
    upright = abs(a[0] - b[0]) < abs(a[1] - b[1])
    axis = 1 if upright else 0
    aside = a[1 - axis]
    low, high = sorted((a[axis], b[axis]))
    taken = []
    for box in covered:
        near, far = (box.top, box.bottom) if upright else (box.left, box.right)
        least, most = (box.left, box.right) if upright else (box.top, box.bottom)
        if least - GUIDE_GAP < aside < most + GUIDE_GAP and far > low and near < high:
            taken.append((near - GUIDE_GAP, far + GUIDE_GAP))
    out, at = [], low
    for near, far in [*sorted(taken), (high, high)]:
        if near - at > GUIDE_GAP:
            out.append((at, min(near, high)))
        at = max(at, far)
    ends = [((u, aside), (v, aside)) for u, v in out]
    return [((p[1], p[0]), (q[1], q[0])) for p, q in ends] if upright else ends


GUIDE_GAP = 0.6
