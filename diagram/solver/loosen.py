"""The last search for room: moves along what the relations leave free, and nowhere else.

Where equations weigh much, walking downhill creeps along a narrow bent valley; here the walk is
in the null space of the equations, which are closed again after each step. And room is measured
to the nearest rail or fence, so it has creases, at which the slope here says little of the slope a
hand's breadth away. So the cost is modelled from its slopes here and at places all round, as far
off as a crease may be (gradient sampling: Burke, Lewis and Overton, A robust gradient sampling
algorithm for nonsmooth, nonconvex optimization, SIAM Journal on Optimization 15, 2005).
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from diagram.geometry.curve import Floats
from diagram.solver.descent import (
    RADIANS_FOR_METRE,
    ROUNDED,
    Local,
    System,
    Weights,
    cost_of,
    equations,
    tabled,
)

AROUND_M = ((0.05, 0.2, 0.6), (0.02, 0.1, 0.3, 1.0))
DIRECTIONS = 4
"""How far off slopes are looked at, at first and when that brings no more; and in how many
directions, both ways along each."""
DAMPINGS = 10.0 ** np.array([-4.0, -2.5, -1.5, -0.5, 0.5, 2.0])
LONGEST_M = 6.0
MOST_STEPS, LEAST_STEPS, STEPS_IN_ALL = 60, 6, 120
"""Steps at most, and fewer where there are many bodies, since each then takes longer."""
CLOSINGS = 2
WORTH = 1e-3
"""Share of the cost that a step must gain."""


class _Free(Struct, frozen=True):
    """At one trial: `unit` of each unknown, `free` (n, n) what the relations leave of a move,
    and `back` (n, m) the way back to them."""

    unit: Floats
    free: Floats
    back: Floats


def loosened(system: System, trial: Floats, weights: Weights) -> Floats:
    """The trial (n,) moved about while that gains room, its equations kept."""
    trial = np.round(trial, ROUNDED)
    cost = float(cost_of(system, trial[None], weights)[0])
    steps = min(MOST_STEPS, max(LEAST_STEPS, STEPS_IN_ALL // len(system.problem.bodies)))
    idle = 0
    for _ in range(steps):
        free = _free(system, trial)
        moves = _downhill(system, trial, _around(free, idle), free, weights)
        tried = _closed(system, trial + moves, free)
        costs = np.round(cost_of(system, tried, weights), 6)
        best = int(np.argmin(costs))
        if costs[best] < cost * (1 - WORTH):
            trial, cost = np.round(tried[best], ROUNDED), float(costs[best])
        elif idle + 1 < len(AROUND_M):
            idle += 1
        else:
            break
    return trial


def _free(system: System, trial: Floats) -> _Free:
    n = len(trial)
    unit = np.ones(n)
    unit[2 : 3 * len(system.problem.bodies) : 3] = RADIANS_FOR_METRE
    slope = equations(system, trial[None])[1][0]
    if not len(slope):
        return _Free(unit, np.eye(n), np.zeros((n, 0)))
    back = np.asarray(np.linalg.pinv(slope * unit, rcond=1e-6), dtype=np.float64)
    return _Free(unit, np.eye(n) - back @ (slope * unit), back)


def _downhill(
    system: System, trial: Floats, around: Floats, free: _Free, weights: Weights
) -> Floats:
    """Steps (S, n) to the lowest places of models of the cost, one for each model and damping.

    The first model is of the slopes here, the others of those nearer and further round as well.
    """
    n = len(trial)
    local = Local.at(trial + around * free.unit, system, weights)
    # What each place says of the slope here: its own, led back along its own stiffness.
    slopes = local.slope - (local.stiffness @ (around * free.unit)[..., None])[..., 0]
    only = free.unit[:, None] * free.free
    steps = []
    for count in range(1, len(around) + 1, 2 * DIRECTIONS):
        gradient = only.T @ slopes[:count].mean(axis=0)
        stiff = only.T @ local.stiffness[:count].mean(axis=0) @ only
        damped = stiff + DAMPINGS[:, None, None] * np.eye(n)
        down = np.broadcast_to(-gradient, (len(damped), n))[..., None]
        steps.append(np.linalg.solve(damped, down)[..., 0] @ free.free)
    step = np.concatenate(steps)
    step *= np.minimum(1.0, LONGEST_M / np.maximum(np.abs(step).max(axis=1), 1e-9))[:, None]
    moves: Floats = step * free.unit
    return moves


def _around(free: _Free, turn: int) -> Floats:
    """Moves (1 + S, n) to places round about: none first, then those nearer before those further.

    They go in slanting directions, for each `turn` others, but always the same ones.
    """
    n = len(free.unit)
    sizes = np.array(AROUND_M[turn])
    slanting = np.random.default_rng(turn).normal(size=(len(sizes), DIRECTIONS, n))
    directions = slanting @ free.free
    lengths = np.sqrt((directions**2).sum(axis=-1, keepdims=True))
    directions = directions / np.maximum(lengths, 1e-9) * sizes[:, None, None]
    both = np.stack([directions, -directions], axis=1).reshape(-1, n)
    return np.concatenate([np.zeros((1, n)), both])


def _closed(system: System, tried: Floats, free: _Free) -> Floats:
    """Trials (S, n) with their equations closed again."""
    if free.back.shape[1]:
        for _ in range(CLOSINGS):
            table = tabled(system.musts(tried, sloped=False))
            tried = tried - (table.value[:, table.must] @ free.back.T) * free.unit
    return tried
