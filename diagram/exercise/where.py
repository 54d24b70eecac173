"""Where in the arena a start, a finish or a circle is said to be: a point, a side, or a pose."""

from __future__ import annotations

import math

from msgspec import Struct

from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.arena import Arena
from diagram.exercise.arena_lines import UnknownNameError
from diagram.exercise.course import Path
from diagram.geometry.pose import Point, Pose
from diagram.model import definition as written
from diagram.model.definition import Definition
from diagram.model.said import WhereSaid
from diagram.source import Document

END_M = 10.0
"""Metres from a short side to the middle of a 20 m circle at that end."""

Side = tuple[Point, Point]


class Where(Struct, frozen=True):
    """What was said, found: one of a point to be near, a side to be along, a pose to begin from."""

    point: Point | None = None
    side: Side | None = None
    begin: Pose | None = None


def where_of(said: WhereSaid | None, arena: Arena) -> Where:
    """The place meant. Raises UnknownNameError for what the arena does not have."""
    if said is None:
        return Where()
    match said.kind:
        case "along":
            return Where(side=arena.sides[_side(said.names[0], arena)])
        case "gate":
            return Where(begin=_gate(arena))
        case "corner":
            return Where(point=_corner(said.names, arena))
        case "end":
            return Where(point=_end(_point(said.names[0], arena), arena))
        case "near":
            return Where(point=_point(said.names[0], arena))


def misplaced(
    definition: Definition, at: Path, arena: Arena, document: Document
) -> list[Diagnostic]:
    """Every place that this arena does not have, in a ride whose steps are written at `at`."""
    problems = []
    for index, step in enumerate(definition.ride):
        for key, where in _places(step):
            try:
                where_of(where, arena)
            except UnknownNameError as problem:
                span = document.span_of((*at, index, key), problem.name)
                problems.append(
                    Diagnostic("ride", Severity.ERROR, str(problem), span, problem.hint)
                )
    return problems


def places_said(step: written.Step) -> tuple[str, ...]:
    """The names of all marks and sides that a step of the ride is told by."""
    return tuple(name for _, where in _places(step) for name in where.names)


def _places(step: written.Step) -> list[tuple[str, WhereSaid]]:
    """Every place that a step names, under the key it is said in."""
    match step:
        case written.StartStep(start=start):
            key, said = "start", (start.where, start.circle and start.circle.where)
        case written.FinishStep(finish=finish):
            key, said = "finish", (finish.where, finish.circle and finish.circle.where)
        case written.CircleStep(circle=circle):
            key, said = "circle", (circle.where, None)
        case _:
            return []
    return [(key, where) for where in said if where]


def _side(name: str, arena: Arena) -> str:
    plain = name.removesuffix(" side").removesuffix(" rail")
    for known in (name, plain):
        if known in arena.sides:
            return known
    raise UnknownNameError(name, arena.sides)


def _point(name: str, arena: Arena) -> Point:
    marks = arena.marks()
    if name == "middle":
        return marks["centre"]
    if name in marks:
        return marks[name]
    known = {**marks, **dict.fromkeys(arena.sides)}
    plain = name.removesuffix(" side")
    if plain not in arena.sides:
        raise UnknownNameError(name, known)
    (ax, ay), (bx, by) = arena.sides[plain]
    return (ax + bx) / 2, (ay + by) / 2


def _gate(arena: Arena) -> Pose:
    """In the gate, facing in."""
    if arena.gate is None:
        raise UnknownNameError("gate", arena.marks())
    inward = arena.outward(arena.gate.side) + math.pi
    return Pose(*arena.gate.middle, math.remainder(inward, 2 * math.pi))


def _corner(names: tuple[str, ...], arena: Arena) -> Point:
    """Where two sides meet, or the corner nearest to a mark."""
    if len(names) == 2:
        one, other = (arena.sides[_side(name, arena)] for name in names)
        for point in one:
            if any(math.dist(point, end) < 1e-6 for end in other):
                return point
        raise UnknownNameError(f"corner of {names[0]} and {names[1]}", arena.sides)
    near = _point(names[0], arena)
    return min(arena.region.corners, key=lambda corner: round(math.dist(corner, near), 6))


def _end(near: Point, arena: Arena) -> Point:
    """The middle of a circle at that end of the arena which a point is nearer to."""
    x0, y0, x1, y1 = arena.region.bounds
    inset = min(END_M, min(arena.size) / 2)
    if x1 - x0 >= y1 - y0:
        ends = ((x0 + inset, (y0 + y1) / 2), (x1 - inset, (y0 + y1) / 2))
    else:
        ends = (((x0 + x1) / 2, y0 + inset), ((x0 + x1) / 2, y1 - inset))
    return min(ends, key=lambda end: round(math.dist(end, near), 6))
