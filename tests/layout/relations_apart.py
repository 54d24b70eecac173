"""The relations of a layout written a second time, with numpy and scipy alone, as a referee.

Unknowns are ordered as the solver has them: x, y and heading of every body, then the radius of
each bend and two straights for each turn. Of a bend only its definition is taken over: straight,
clothoid, arc, clothoid, straight, each clothoid with one eighth of the turn.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from scipy.integrate import quad
from scipy.optimize import least_squares

from diagram.geometry.pose import Pose
from diagram.solver.relations import (
    Angled,
    AsFar,
    Bending,
    Beyond,
    FacesMark,
    FacingIs,
    Mirrored,
    OnLine,
    PlaceIs,
    Problem,
    Relation,
    Straight,
    Turning,
)

EASE = 0.1
LEVER = 10.0
"""Metres at which a wrong heading is felt."""
HOLDS_M = 0.01
HOLDS_RAD = math.radians(0.5)


def heading_along(turn: float, radius: float, s: float) -> float:
    """Heading after `s` metres of a corner: the integral of a curvature that is a trapezium."""
    ease = min(EASE, turn) * radius
    whole = radius * turn + ease
    if s < ease:
        return s * s / (2 * ease * radius)
    if s > whole - ease:
        left = whole - s
        return turn - left * left / (2 * ease * radius)
    return (s - ease / 2) / radius


@lru_cache(maxsize=4096)
def corner(turn: float, radius: float) -> tuple[float, float, float]:
    """x, y of the end of a corner that begins at the origin along x, and its length."""
    ease = min(EASE, turn) * radius
    whole = radius * turn + ease
    ends = [ease, whole - ease]
    x = quad(lambda s: math.cos(heading_along(turn, radius, s)), 0, whole, points=ends)[0]
    y = quad(lambda s: math.sin(heading_along(turn, radius, s)), 0, whole, points=ends)[0]
    return x, y, whole


def bent(turn: float, radius: float, before: float, after: float) -> tuple[float, float, float]:
    """x, y of the end of straight, corner, straight to the left, and the length of it all."""
    x, y, whole = corner(turn, radius)
    return (
        before + x + after * math.cos(turn),
        y + after * math.sin(turn),
        before + whole + after,
    )


@lru_cache(maxsize=8192)
def _unit(turn: float) -> tuple[float, float]:
    """For radius 1 the way from the begin of a corner to its vertex, and its length."""
    x, y, whole = corner(turn, 1.0)
    return x - y / math.tan(turn), whole


def wrap(angle: float) -> float:
    """Radians in (-pi, pi]."""
    return math.remainder(angle, 2 * math.pi)


def _pose(unknowns: np.ndarray, body: int) -> tuple[float, float, float]:
    x, y, heading = unknowns[3 * body : 3 * body + 3]
    return float(x), float(y), float(heading)


def _end(unknowns: np.ndarray, body: int, offset: Pose) -> tuple[float, float, float]:
    x, y, h = _pose(unknowns, body)
    c, s = math.cos(h), math.sin(h)
    return (x + c * offset.x - s * offset.y, y + s * offset.x + c * offset.y, h + offset.heading)


def _seen(
    first: tuple[float, float, float], second: tuple[float, float, float]
) -> tuple[float, float, float]:
    x, y, h = first
    c, s = math.cos(h), math.sin(h)
    dx, dy = second[0] - x, second[1] - y
    return c * dx + s * dy, c * dy - s * dx, second[2] - h


def bend_measures(relation: Bending, unknowns: np.ndarray, radius: float) -> tuple[float, ...]:
    """Turn to its hand, length, straight before and straight after the corner."""
    first = _end(unknowns, relation.first.body, relation.first.pose)
    second = _end(unknowns, relation.second.body, relation.second.pose)
    ahead, left, turn = _seen(first, second)
    hand = 1 if relation.left else -1
    turn = (turn * hand + math.pi / 3) % (2 * math.pi) - math.pi / 3
    held = min(max(turn, math.radians(8)), math.radians(162))
    b = left * hand / math.sin(held)
    a = ahead - b * math.cos(held)
    unit, whole = _unit(round(held, 12))
    before, after = a - radius * unit, b - radius * unit
    return turn, before + after + radius * whole, before, after


def equations(
    relation: Relation, unknowns: np.ndarray, extra: float = 0.0, shape: bool = True
) -> list[float]:
    """What a relation is off by, in metres, headings times LEVER.

    `extra` is the radius of a bend. With `shape` a bend to the wrong hand or turned too far is
    off as well, and so is a line that runs backwards.
    """
    u = unknowns
    match relation:
        case PlaceIs():
            x, y, _ = _pose(u, relation.body)
            return [x - relation.point[0], y - relation.point[1]]
        case FacingIs():
            off = wrap(_pose(u, relation.body)[2] - relation.heading)
            if relation.either:
                off = math.asin(math.sin(off))
            return [LEVER * off]
        case FacesMark():
            x, y, h = _pose(u, relation.body)
            px, py = relation.point
            return [LEVER * wrap(math.atan2(py - y, px - x) - h)]
        case OnLine():
            return _on_line(relation, u)
        case Beyond():
            stand = _end(u, relation.first, relation.offset)
            x, y, h = _pose(u, relation.second)
            return [x - stand[0], y - stand[1], LEVER * wrap(h - stand[2])]
        case Straight():
            if relation.given:
                return []
            ahead, left, turn = _seen(
                _end(u, relation.first.body, relation.first.pose),
                _end(u, relation.second.body, relation.second.pose),
            )
            out = [left, LEVER * wrap(turn)]
            if relation.length is not None:
                return [*out, ahead - relation.length]
            return [*out, min(0.0, ahead - relation.least)] if shape else out
        case Bending():
            return [] if relation.given else _bend(relation, u, extra, shape)
        case Turning():
            return []
        case Angled():
            off = _pose(u, relation.second)[2] - _pose(u, relation.first)[2] - relation.turn
            return [LEVER * math.asin(math.sin(off))]
        case Mirrored():
            return _mirrored(relation, u)
        case AsFar():
            a, b, c, d = (np.array(_pose(u, n)[:2]) for n in relation.bodies)
            return [float(np.linalg.norm(a - b) - np.linalg.norm(c - d))]


def _on_line(relation: OnLine, u: np.ndarray) -> list[float]:
    x, y, h = _pose(u, relation.body)
    found = []
    for (px, py), along in relation.lines:
        aside = math.cos(along) * (y - py) - math.sin(along) * (x - px)
        angle = LEVER * math.asin(math.sin(h - along))
        found.append([aside, angle] if relation.along else [aside])
    return min(found, key=lambda rows: abs(rows[0]))


def _bend(relation: Bending, u: np.ndarray, radius: float, shape: bool) -> list[float]:
    turn, length, before, after = bend_measures(relation, u, radius)
    out = []
    if relation.length is not None:
        out.append(length - relation.length)
    if relation.turn is not None:
        out.append(LEVER * (turn - relation.turn))
    if relation.between is not None and shape:
        low, high = relation.between
        out.append(min(0.0, length - low) + max(0.0, length - high))
    if shape:
        least, most = math.radians(15), math.radians(150)
        out.append(LEVER * (min(0.0, turn - least) + max(0.0, turn - most)))
        out += [min(0.0, before), min(0.0, after), min(0.0, radius - 0.5)]
    return out


def _mirrored(relation: Mirrored, u: np.ndarray) -> list[float]:
    """The first, reflected in the line: p' = p - 2 (n.(p - q)) n with n square to the line."""
    x, y, h = _pose(u, relation.first)
    qx, qy = relation.point
    nx, ny = -math.sin(relation.heading), math.cos(relation.heading)
    off = (x - qx) * nx + (y - qy) * ny
    rx, ry, rh = x - 2 * off * nx, y - 2 * off * ny, 2 * relation.heading - h
    x2, y2, h2 = _pose(u, relation.second)
    return [x2 - rx, y2 - ry, LEVER * math.asin(math.sin(h2 - rh))]


def extras(problem: Problem) -> dict[int, int]:
    """Column of the radius of each bend, by number of the relation."""
    at, count = {}, 3 * len(problem.bodies)
    for number, relation in enumerate(problem.relations):
        if isinstance(relation, Bending):
            at[number] = count
            count += 1
        elif isinstance(relation, Turning):
            count += 3
    return at


def all_equations(problem: Problem, unknowns: np.ndarray, shape: bool = True) -> np.ndarray:
    """The equations of every relation."""
    radius = extras(problem)
    rows: list[float] = []
    for number, relation in enumerate(problem.relations):
        extra = float(unknowns[radius[number]]) if number in radius else 0.0
        rows += equations(relation, unknowns, extra, shape)
    return np.array(rows)


def worst_m(problem: Problem, unknowns: np.ndarray) -> float:
    """The worst equation, in metres or in metres at LEVER."""
    return float(np.abs(all_equations(problem, unknowns)).max(initial=0.0))


def can_hold(problem: Problem, tries: int = 40, seed: int = 0) -> bool:
    """Whether scipy finds poses at which every relation holds, room left out of account."""
    if not problem.relations:
        return True
    rng = np.random.default_rng(seed)
    x0, y0, x1, y1 = problem.region.bounds
    size = max(x1 - x0, y1 - y0)
    for _ in range(tries):
        start = np.full(problem.size, 4.0)
        for body in range(len(problem.bodies)):
            start[3 * body] = x0 + size * rng.random()
            start[3 * body + 1] = y0 + size * rng.random()
            start[3 * body + 2] = rng.uniform(-math.pi, math.pi)
        found = least_squares(lambda u: all_equations(problem, u), start, max_nfev=150)
        if np.abs(found.fun).max(initial=0.0) < HOLDS_M:
            return True
    return False
