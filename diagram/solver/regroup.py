"""Second guesses: one group of fences taken up as it stands and put down somewhere else.

Walking downhill never takes a line from one end of the arena to the other; this does.
"""

from __future__ import annotations

import math

import numpy as np

from diagram.geometry.curve import Floats
from diagram.solver.relations import TIES, PlaceIs, Problem
from diagram.solver.starts import halton


def groups_of(problem: Problem) -> list[list[int]]:
    """Bodies that lines and bends tie together, less the groups that hold a pinned one."""
    group = list(range(len(problem.bodies)))
    for relation in problem.relations:
        if isinstance(relation, TIES):
            first, second = problem.indices_of(relation)
            old, new = group[second], group[first]
            group = [new if g == old else g for g in group]
    pinned = {group[r.body] for r in problem.relations if isinstance(r, PlaceIs)}
    found: dict[int, list[int]] = {}
    for body, number in enumerate(group):
        if number not in pinned:
            found.setdefault(number, []).append(body)
    return list(found.values())


def regrouped(problem: Problem, trials: Floats, tries: int, turn: int) -> Floats:
    """About `tries` trials: each of (S, n) with one group moved about and turned.

    `turn` counts how often this was asked, so that other places are tried each time.
    """
    x0, y0, x1, y1 = problem.region.bounds
    out = []
    groups = groups_of(problem)
    each = max(1, tries // max(1, len(groups) * len(trials)))
    for g, group in enumerate(groups):
        total = len(trials) * each
        u, v, w = (halton(total * turn + 17 * g, total, k) for k in range(3))
        moved = np.repeat(trials, each, axis=0)
        xs = moved[:, [3 * body for body in group]]
        ys = moved[:, [3 * body + 1 for body in group]]
        cx, cy = xs.mean(axis=1, keepdims=True), ys.mean(axis=1, keepdims=True)
        angle = np.floor(w * 8) * math.pi / 4
        c, s = np.cos(angle)[:, None], np.sin(angle)[:, None]
        to_x, to_y = (x0 + (x1 - x0) * u)[:, None], (y0 + (y1 - y0) * v)[:, None]
        dx, dy = xs - cx, ys - cy
        for k, body in enumerate(group):
            moved[:, 3 * body] = (to_x + c * dx - s * dy)[:, k]
            moved[:, 3 * body + 1] = (to_y + s * dx + c * dy)[:, k]
            moved[:, 3 * body + 2] += angle
        out.append(moved)
    return np.concatenate(out) if out else trials[:0]
