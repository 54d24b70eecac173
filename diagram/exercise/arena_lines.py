"""Lines in an arena that a fence may stand on: the centre line, quarter lines, along a side."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping

from diagram.diagnostics import near
from diagram.exercise.arena import Arena
from diagram.geometry.pose import Point
from diagram.model.said import OnSaid

Line = tuple[Point, float]
"""A point and a heading."""

FROM_CORNER_M = 6.0
"""Metres from the corner at which a diagonal leaves the long side: where K, M, H and F stand in
the arenas of dressage (FEI dressage rules, arena diagram, from memory)."""


class UnknownNameError(ValueError):
    """A side or mark that the arena does not have, with what it has."""

    def __init__(self, name: str, known: Mapping[str, object]) -> None:
        super().__init__(f'there is no "{name}" in this arena')
        self.name = name
        self.hint = place_hint(name, known)


MIDDLE = ("middle", "center", "middle of the ring", "middle of the arena")
LETTERS = "say centre; or give the ring its letters: {size: 60 x 20 m, letters: yes}"


def place_hint(name: str, known: Iterable[str]) -> str:
    """What to write for a mark or side that the arena does not have."""
    names = list(known)
    plain = re.sub(r"^(?:(?:at|near|by|to|towards|the|in|on) )+", "", name.lower())
    if plain in MIDDLE and "centre" in names:
        return "write centre"
    if same := next((known for known in names if known.lower() == plain), ""):
        return f"write {same}"
    if len(name) == 1 and name not in names and not any(len(n) == 1 for n in names):
        return LETTERS
    return near(name, names)


COMPASS = {"north": "top", "south": "bottom", "east": "right", "west": "left",
           "up": "top", "upwards": "top", "down": "bottom", "downwards": "bottom"}  # fmt: skip
"""Directions of a sheet of paper, and the sides of the drawing that they are."""


def direction_hint(text: str, arena: Arena) -> str:
    """What to write for a direction that a fence cannot face in this arena."""
    plain = re.sub(r"^(?:(?:facing|faces|looking|away to|to|towards|the) )+", "", text.lower())
    if (side := COMPASS.get(plain)) in arena.sides:
        return f"write {side}: a ring has no compass, and {side} is a side of the drawing"
    names = [*arena.sides, *arena.marks()]
    hint = place_hint(plain, names)
    known = hint.startswith("known here")
    return f"{hint}; or degrees, like 90°" if known else hint or "write 90°"


def lines_of(said: OnSaid, arena: Arena) -> tuple[Line, ...]:
    """The line meant, or the lines to choose from. Raises UnknownNameError."""
    x0, y0, x1, y1 = arena.region.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    along = 0.0 if x1 - x0 >= y1 - y0 else math.pi / 2
    match said.line:
        case "centre line":
            return ((middle, along),)
        case "short centre line":
            return ((middle, along + math.pi / 2),)
        case "quarter line":
            return _quarter_lines(said.side, arena, middle, along)
        case "diagonal":
            return _diagonals(arena, along)
        case "side":
            return (_inside(said.side or "", said.inset, arena),)
        case "marks":
            assert said.marks is not None
            return (_between(said.marks, arena),)


def _quarter_lines(side: str | None, arena: Arena, middle: Point, along: float) -> tuple[Line, ...]:
    """Half way between the centre line and each long side."""
    quarter = min(arena.size) / 4
    across = (-math.sin(along), math.cos(along))
    lines = tuple(
        ((middle[0] + sign * quarter * across[0], middle[1] + sign * quarter * across[1]), along)
        for sign in (1, -1)
    )
    if side is None:
        return lines
    (ax, ay), (bx, by) = _side(side, arena)
    at = ((ax + bx) / 2, (ay + by) / 2)
    return (min(lines, key=lambda line: math.dist(line[0], at)),)


def _diagonals(arena: Arena, along: float) -> tuple[Line, ...]:
    x0, y0, x1, y1 = arena.region.bounds
    c = FROM_CORNER_M
    if along == 0.0:
        ends = (((x0 + c, y0), (x1 - c, y1)), ((x0 + c, y1), (x1 - c, y0)))
    else:
        ends = (((x0, y0 + c), (x1, y1 - c)), ((x1, y0 + c), (x0, y1 - c)))
    return tuple((a, math.atan2(b[1] - a[1], b[0] - a[0])) for a, b in ends)


def _inside(side: str, inset: float, arena: Arena) -> Line:
    """A line parallel to a side, so far in. Sides run anticlockwise: inside is to their left."""
    (ax, ay), (bx, by) = _side(side, arena)
    heading = math.atan2(by - ay, bx - ax)
    point = (ax - inset * math.sin(heading), ay + inset * math.cos(heading))
    return point, heading


def _side(name: str, arena: Arena) -> tuple[Point, Point]:
    if name not in arena.sides:
        raise UnknownNameError(name, arena.sides)
    return arena.sides[name]


def _between(names: tuple[str, str], arena: Arena) -> Line:
    marks = arena.marks()
    for name in names:
        if name not in marks:
            raise UnknownNameError(name, marks)
    a, b = marks[names[0]], marks[names[1]]
    if math.dist(a, b) < 0.1:
        raise UnknownNameError(names[1], {n: p for n, p in marks.items() if math.dist(p, a) > 0.1})
    return a, math.atan2(b[1] - a[1], b[0] - a[0])
