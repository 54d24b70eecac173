"""The last search for room: moves along what the relations leave free, and nowhere else.

Where equations weigh much, walking downhill creeps along a narrow bent valley; here the walk is
in the null space of the equations, which are closed again after each step. And room is measured
to the nearest rail or fence, so it has creases, on which slopes are of no use: there every
unknown is tried a little way up and down.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from diagram.geometry.curve import Floats
from diagram.layout.descent import (
    ROUNDED,
    System,
    Weights,
    cost_of,
    equations,
    slopes_of,
    tabled,
    weighted,
)

SIZES_M = (1.0, 0.3, 0.1)
DAMPINGS = 10.0 ** np.arange(-4.0, 5.0)
LONGEST_M = 6.0
MOST_STEPS, STEPS_IN_ALL = 60, 240
"""Steps at most, and fewer where there are many bodies, since each then takes longer."""
CLOSINGS = 3
HELD = 0.1
"""Share of a move that must be left of it when the relations have had their say."""
RADIANS_FOR_METRE = 0.1
SLANTING = 2
TOGETHER = (2, 3, 4, 6, 9, 14)
WORTH = 1e-3
"""Share of the cost that a step must gain."""


@dataclass(frozen=True, slots=True)
class _Free:
    """At one trial: `unit` of each unknown, `free` (n, n) what the relations leave of a move,
    and `back` (n, m) the way back to them."""

    unit: Floats
    free: Floats
    back: Floats


def loosened(system: System, trial: Floats, weights: Weights) -> Floats:
    """The trial (n,) moved about while that gains room, its equations kept."""
    cost = float(cost_of(system, trial[None], weights)[0])
    for _ in range(min(MOST_STEPS, STEPS_IN_ALL // len(system.problem.bodies))):
        free = _free(system, trial)
        for moves in (_downhill, _every_way, _any_way):
            steps = moves(system, trial, free, weights)
            if not len(steps):
                continue
            tried = _closed(system, trial + steps, free)
            costs = np.round(cost_of(system, tried, weights), 9)
            together = _together(steps, costs, cost) if moves is not _downhill else steps[:0]
            if len(together):
                more = _closed(system, trial + together, free)
                tried = np.concatenate([tried, more])
                costs = np.concatenate([costs, np.round(cost_of(system, more, weights), 9)])
            best = int(np.argmin(costs))
            if costs[best] < cost * (1 - WORTH):
                trial, cost = np.round(tried[best], ROUNDED + 1), float(costs[best])
                break
        else:
            break
    return trial


def _together(steps: Floats, costs: Floats, cost: float) -> Floats:
    """Several of the steps (S, n) that pay, made at once: the best two, four, ... added up."""
    order = np.argsort(costs, kind="stable")
    paying = steps[order[: int((costs < cost).sum())]]
    counts = [count for count in TOGETHER if count <= len(paying)]
    return np.array([paying[:count].sum(axis=0) for count in counts]).reshape(-1, steps.shape[1])


def _free(system: System, trial: Floats) -> _Free:
    n = len(trial)
    unit = np.ones(n)
    unit[2 : 3 * len(system.problem.bodies) : 3] = RADIANS_FOR_METRE
    slope = equations(system, trial[None])[1][0]
    if not len(slope):
        return _Free(unit, np.eye(n), np.zeros((n, 0)))
    back = np.asarray(np.linalg.pinv(slope * unit, rcond=1e-6), dtype=np.float64)
    return _Free(unit, np.eye(n) - back @ (slope * unit), back)


def _downhill(system: System, trial: Floats, free: _Free, weights: Weights) -> Floats:
    """Steps (S, n) by Levenberg and Marquardt among what is free, one for each damping."""
    blocks = system.blocks(trial[None])
    _, pull, stiffness = weighted(tabled(blocks), weights)
    slope = slopes_of(blocks, len(trial))[0] * free.unit @ free.free
    gradient = slope.T @ pull[0]
    stiff = (slope * stiffness[0, :, None]).T @ slope
    damped = stiff + DAMPINGS[:, None, None] * np.eye(len(trial))
    steps = np.linalg.solve(
        damped, np.broadcast_to(-gradient, (len(damped), len(trial)))[..., None]
    )
    step = steps[..., 0] @ free.free
    step *= np.minimum(1.0, LONGEST_M / np.maximum(np.abs(step).max(axis=1), 1e-9))[:, None]
    moves: Floats = step * free.unit
    return moves


def _every_way(system: System, trial: Floats, free: _Free, weights: Weights) -> Floats:  # noqa: ARG001
    """Steps (S, n) each way along every unknown that may be moved, in several sizes."""
    return _both_ways(np.eye(len(trial)), free)


def _any_way(system: System, trial: Floats, free: _Free, weights: Weights) -> Floats:  # noqa: ARG001
    """Steps (S, n) each way in many slanting directions, always the same ones."""
    directions = np.random.default_rng(0).normal(size=(SLANTING * len(trial), len(trial)))
    return _both_ways(directions / np.sqrt((directions**2).sum(axis=1))[:, None], free)


def _both_ways(directions: Floats, free: _Free) -> Floats:
    held = directions @ free.free
    left = np.sqrt((held**2).sum(axis=1))
    along = held[left > HELD] / left[left > HELD, None] * free.unit
    moves: Floats = np.concatenate([size * sign * along for size in SIZES_M for sign in (1, -1)])
    return moves


def _closed(system: System, tried: Floats, free: _Free) -> Floats:
    """Trials (S, n) with their equations closed again."""
    if free.back.shape[1]:
        for _ in range(CLOSINGS):
            table = tabled(system.blocks(tried, with_room=False, sloped=False))
            tried = tried - (table.value[:, table.must] @ free.back.T) * free.unit
    return tried
