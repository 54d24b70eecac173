"""Equations of places, headings and what lies parallel, square, mirrored or equally far."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, atan2, hypot, sin, towards, wrapped
from diagram.geometry.region import first_least
from diagram.solver.relations import (
    Angled,
    AsFar,
    Beyond,
    FacesMark,
    FacingIs,
    Mirrored,
    OnLine,
    PlaceIs,
    Problem,
    Relation,
)
from diagram.solver.rows import LEVER_M, Block, Ints, Trials, block, body_columns, offsets

Numbered = list[tuple[int, Relation]]


def pinned_rows(problem: Problem, trials: Trials) -> list[Block]:
    """Blocks of every relation that is no way from fence to fence."""
    out: list[Block] = []
    for kind, rows in _ROWS.items():
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, kind)]
        if some:
            out += rows(some, trials)
    return out


def _musts(
    rows: list[Dual], columns: Ints, some: Numbered, angles: Sequence[Dual] = ()
) -> list[Block]:
    """Equations of places (metres) and of headings (radians, given their lever here)."""
    about = [(n,) for n, _ in some]
    places = [block("must", "place", row, columns, about) for row in rows]
    return places + [block("must", "heading", row * LEVER_M, columns, about) for row in angles]


def _array(values: list[object]) -> Floats:
    return np.array(values, dtype=float)


def _place(some: list[tuple[int, PlaceIs]], trials: Trials) -> list[Block]:
    columns = body_columns([r.body for _, r in some])
    x, y, _ = trials.locals_of(columns)
    at = _array([r.point for _, r in some])
    return _musts([x - at[:, 0], y - at[:, 1]], columns, list(some))


def _facing(some: list[tuple[int, FacingIs]], trials: Trials) -> list[Block]:
    columns = body_columns([r.body for _, r in some])
    _, _, heading = trials.locals_of(columns)
    off = heading - _array([r.heading for _, r in some])
    either = np.array([r.either for _, r in some])
    whole, half = wrapped(off), sin(off)
    rows = Dual(
        np.where(either, half.value, whole.value),
        np.where(either[:, None], half.slope, whole.slope),
    )
    return _musts([], columns, list(some), [rows])


def _mark(some: list[tuple[int, FacesMark]], trials: Trials) -> list[Block]:
    columns = body_columns([r.body for _, r in some])
    x, y, heading = trials.locals_of(columns)
    at = _array([r.point for _, r in some])
    towards = atan2(-y + at[:, 1], -x + at[:, 0])
    return _musts([], columns, list(some), [wrapped(heading - towards)])


def _on_line(some: list[tuple[int, OnLine]], trials: Trials) -> list[Block]:
    """The nearest of the lines counts, in each trial."""
    out: list[Block] = []
    for number, relation in some:
        columns = body_columns([relation.body])
        x, y, heading = trials.locals_of(columns)
        asides = [
            (y - py) * math.cos(along) - (x - px) * math.sin(along)
            for (px, py), along in relation.lines
        ]
        which = first_least(np.abs(np.stack([aside.value for aside in asides], axis=-1)))
        turned = [sin(heading - along) for _, along in relation.lines]
        angles = [_of_line(turned, which)] if relation.along else []
        out += _musts([_of_line(asides, which)], columns, [(number, relation)], angles)
    return out


def _of_line(rows: list[Dual], which: Ints) -> Dual:
    value = np.take_along_axis(np.stack([row.value for row in rows]), which[None], 0)[0]
    slope = np.take_along_axis(np.stack([row.slope for row in rows]), which[None, ..., None], 0)[0]
    return Dual(value, slope)


def _beyond(some: list[tuple[int, Beyond]], trials: Trials) -> list[Block]:
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    x, y, heading, x2, y2, heading2 = trials.locals_of(columns)
    arm, turn = offsets([r.offset for _, r in some])
    stand = x + y * 1j + towards(heading) * arm
    turned = wrapped(heading2 - heading - turn)
    return _musts([x2 - stand.real, y2 - stand.imag], columns, list(some), [turned])


def _angled(some: list[tuple[int, Angled]], trials: Trials) -> list[Block]:
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    _, _, heading, _, _, heading2 = trials.locals_of(columns)
    off = heading2 - heading - _array([r.turn for _, r in some])
    return _musts([], columns, list(some), [sin(off)])


def _mirrored(some: list[tuple[int, Mirrored]], trials: Trials) -> list[Block]:
    """Reflection in a line: the pose of one, reflected, is that of the other, either way round."""
    columns = body_columns([r.first for _, r in some], [r.second for _, r in some])
    x, y, heading, x2, y2, heading2 = trials.locals_of(columns)
    at, axis = _array([r.point for _, r in some]), _array([r.heading for _, r in some])
    c, s = np.cos(axis), np.sin(axis)
    dx, dy, dx2, dy2 = x - at[:, 0], y - at[:, 1], x2 - at[:, 0], y2 - at[:, 1]
    along = (dx * c + dy * s) - (dx2 * c + dy2 * s)
    across = (dy * c - dx * s) + (dy2 * c - dx2 * s)
    turned = sin(heading + heading2 - 2 * axis)
    return _musts([along, across], columns, list(some), [turned])


def _as_far(some: list[tuple[int, AsFar]], trials: Trials) -> list[Block]:
    columns = body_columns(*([r.bodies[i] for _, r in some] for i in range(4)))
    ax, ay, _, bx, by, _, cx, cy, _, dx, dy, _ = trials.locals_of(columns)
    return _musts([hypot(bx - ax, by - ay) - hypot(dx - cx, dy - cy)], columns, list(some))


_ROWS: dict[type, Callable[[Any, Trials], list[Block]]] = {
    PlaceIs: _place,
    FacingIs: _facing,
    FacesMark: _mark,
    OnLine: _on_line,
    Beyond: _beyond,
    Angled: _angled,
    Mirrored: _mirrored,
    AsFar: _as_far,
}
