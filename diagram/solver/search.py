"""The search of a layout: from many guesses to the few that are worth finishing.

Walking downhill from many guesses, and again and again from the best of them with one group of
fences put down somewhere else.
"""

from __future__ import annotations

import numpy as np

from diagram.geometry.curve import Floats
from diagram.solver.descent import (
    RADIANS_FOR_METRE,
    ROUNDED,
    Settled,
    System,
    Weights,
    cost_of,
    settle,
)
from diagram.solver.regroup import groups_of, regrouped

FIRST = Weights(3.0, 3.0, 0.3)
SECOND = Weights(30.0, 30.0, 1.0)
LAST = Weights(300.0, 300.0, 1.0)
FIRST_STEPS, SECOND_STEPS, LAST_STEPS = 4, 6, 6
HOPEFUL, KEPT, FINE = 12, 5, 4
"""Trials that are walked further after the first steps, after the second, and to the last."""
ROUNDS = 30
TRIES_BY_BODIES = 1536
"""Places tried in a round, times bodies: each try takes longer where there are many."""
ROUND_STEPS = 3
PROMISING, PROMISING_TILL_ONE_FITS = 5, 12
"""Tries of each round that are walked downhill."""
WORTHWHILE = 0.98
"""Share of the cost under which a round has gained something."""
IDLE_ROUNDS, IDLE_FOR_EACH_GROUP, IDLE_TILL_ONE_FITS, IDLE_BRIEFLY = 1, 0.5, 10, 4
"""Rounds without gain after which the search ends, and more of them for each group; for as long as
nothing fits; and where there is little hope that anything does."""
FITS_COST = 60.0
"""Cost under which broken limits are centimetres, so that more rounds are only for room."""
PUSHES, PUSHED_M = 48, (0.5, 3.0)
"""How often all bodies are pushed about, and how far."""


def searched(system: System, guesses: Floats, rounds: int, briefly: bool = False) -> Floats:
    """A few trials (S, n), the best that come of some guesses.

    Groups of fences are put down elsewhere for at most `rounds` rounds, until some of them have
    brought nothing; `briefly`, until a few of them have.
    """
    till_one_fits = IDLE_BRIEFLY if briefly else IDLE_TILL_ONE_FITS
    rough = _best(settle(system, guesses, FIRST, FIRST_STEPS, fine=False), HOPEFUL)
    kept = _best(settle(system, rough.unknowns, SECOND, SECOND_STEPS), KEPT)
    groups = len(groups_of(system.problem))
    idle, patience = 0, IDLE_ROUNDS + IDLE_FOR_EACH_GROUP * (groups - 1)
    for count in range(rounds):
        before = kept.cost[0]
        kept = _elsewhere(system, kept, count)
        idle = 0 if kept.cost[0] < before * WORTHWHILE else idle + 1
        if idle >= (patience if kept.cost[0] < FITS_COST else till_one_fits):
            break
    return settle(system, kept.unknowns[:FINE], LAST, LAST_STEPS, enough=1e-6).unknowns


def shaken(system: System, trial: Floats) -> Floats:
    """A few trials (S, n) that come of pushing all bodies of one (n,) about, ever further."""
    bodies = 3 * len(system.problem.bodies)
    pushes = np.random.default_rng(0).normal(size=(PUSHES, bodies))
    pushes[:, 2::3] *= RADIANS_FOR_METRE
    trials = np.repeat(np.round(trial, ROUNDED)[None], PUSHES, axis=0)
    trials[:, :bodies] += pushes * np.linspace(*PUSHED_M, PUSHES)[:, None]
    kept = _best(settle(system, trials, SECOND, SECOND_STEPS), FINE)
    return settle(system, kept.unknowns, LAST, LAST_STEPS, enough=1e-6).unknowns


def _elsewhere(system: System, kept: Settled, count: int) -> Settled:
    """The best of what is there and of what comes of moving one group of fences elsewhere."""
    tries = TRIES_BY_BODIES // len(system.problem.bodies)
    moved = regrouped(system.problem, kept.unknowns[:2], tries, count)
    if not len(moved):
        return kept
    cost = np.round(cost_of(system, moved, FIRST, fine=False), 6)
    several = PROMISING if kept.cost[0] < FITS_COST else PROMISING_TILL_ONE_FITS
    promising = moved[np.argsort(cost, kind="stable")[:several]]
    return _best(_both(kept, settle(system, promising, SECOND, ROUND_STEPS)), KEPT)


def _both(one: Settled, other: Settled) -> Settled:
    return Settled(
        np.concatenate([one.unknowns, other.unknowns]), np.concatenate([one.cost, other.cost])
    )


def _best(settled: Settled, count: int) -> Settled:
    """The cheapest trials, no two of them alike."""
    kept: list[int] = []
    for i in np.argsort(settled.cost, kind="stable"):
        alike = any(np.abs(settled.unknowns[i] - settled.unknowns[j]).max() < 0.5 for j in kept)
        if not alike:
            kept.append(int(i))
        if len(kept) == count:
            break
    return Settled(settled.unknowns[kept], settled.cost[kept])
