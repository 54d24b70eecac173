"""No other optimiser finds a layout of the shipped exercises with a tenth more room.

Equations come from `relations_apart`, room and limits from the values (never the slopes) of the
solver's rows, the crowding sum is written here once more from its definition, gradients are
differences, and the search is scipy's SLSQP.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace
from relations_apart import all_equations
from scipy.optimize import minimize

from diagram.model import Definition, validate
from diagram.placing.posing import pose_problem
from diagram.planning import read_setting
from diagram.solver.descent import System
from diagram.solver.relations import Problem
from diagram.solver.solve import moved_about, solve
from diagram.source import read

EXERCISES = Path(__file__).parents[2] / "exercises"
SHIPPED = (
    "figure-of-eight-with-new-leads", "grid-from-trot-on-the-centre-line",
    "straight-out-and-home-on-an-angle", "forward-wait-and-a-double",
)  # fmt: skip
STEPS = 15
FAR = 15.0
"""Metres of room beyond which more makes no difference."""


def released(name: str) -> Problem:
    """The problem of an exercise with all its pins taken out."""
    document = read(EXERCISES / f"{name}.yaml")
    setting = read_setting(document, validate(document, Definition))
    pinned = replace(setting.pinned, relations=(), poses={})
    problem, wrong = pose_problem(replace(setting, pinned=pinned))
    assert wrong == []
    return problem


class Apart:
    """Crowding, limits and equations of a problem, with gradients by differences."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.system = System.of(problem)
        # Headings in tens of radians, so that all unknowns are of one size.
        self.unit = np.ones(problem.size)
        self.unit[2 : 3 * len(problem.bodies) : 3] = 0.1

    def crowding(self, trials: np.ndarray) -> np.ndarray:
        """Sum over every row with room to spare of ((c - f) / (1 - f))^2 up to FAR metres.

        c is s / (s + spare) for the row's scale s, and 1 - spare / s where it is short; f is c at
        FAR. Wishes are added squared.
        """
        total = np.zeros(len(trials))
        for rows in self.system.blocks(trials, sloped=False):
            if rows.sort == "wish":
                total += (rows.value**2).sum(axis=1)
            elif rows.scale:
                s = rows.scale
                crowded = np.where(rows.value < 0, 1 - rows.value / s, s / (s + np.abs(rows.value)))
                floor = s / (s + FAR)
                share = np.where(rows.value < FAR, (crowded - floor) / (1 - floor), 0.0)
                total += (share**2).sum(axis=1)
        return total

    def limits(self, trials: np.ndarray) -> np.ndarray:
        """Every limit, zero or more where it is kept."""
        rows = [b.value for b in self.system.blocks(trials, sloped=False) if b.sort == "limit"]
        return np.minimum(np.concatenate(rows, axis=1), FAR)

    def _differences(self, function, u: np.ndarray, step: float = 1e-5) -> np.ndarray:
        moves = step * np.diag(self.unit)
        both = function(np.concatenate([u + moves, u - moves]))
        n = len(u)
        return ((both[:n] - both[n:]) / (2 * step)).T

    def equations(self, u: np.ndarray) -> np.ndarray:
        return all_equations(self.problem, u, shape=False)

    def roomier(self, start: np.ndarray, steps: int) -> tuple[float, np.ndarray]:
        """Crowding and unknowns after SLSQP; infinite where relations or limits are broken."""
        unit = self.unit

        def many(function):
            return lambda v: function((v * unit)[None])[0]

        def slopes(function):
            return lambda v: self._differences(function, v * unit)

        def each(trials):
            return np.array([self.equations(trial) for trial in trials])

        constraints = [
            {"type": "ineq", "fun": many(self.limits), "jac": slopes(self.limits)},
        ]
        if len(self.equations(start)):
            constraints.append({"type": "eq", "fun": many(each), "jac": slopes(each)})
        found = minimize(
            many(self.crowding), start / unit, jac=slopes(self.crowding), method="SLSQP",
            constraints=constraints, options={"maxiter": steps, "ftol": 1e-5},
        )  # fmt: skip
        u = found.x * unit
        broken = max(
            np.abs(self.equations(u)).max(initial=0.0), -self.limits(u[None]).min(initial=0.0)
        )
        # As far off as the solver itself may be: a centimetre.
        return (float(found.fun) if broken < 0.01 else math.inf), u


def _others(problem: Problem, own: np.ndarray, count: int) -> list[np.ndarray]:
    """Starts near the solver's own, and others that have it turned or pushed about."""
    rng = np.random.default_rng(3)
    bodies = 3 * len(problem.bodies)
    out = []
    for n in range(count):
        start = own.copy()
        spread = (0.5, 3.0)[n % 2]
        start[:bodies] += rng.normal(0, spread, bodies) * np.tile([1, 1, 0.1], bodies // 3)
        out.append(start)
    return out


@pytest.mark.parametrize("name", SHIPPED)
def test_no_other_optimiser_finds_a_tenth_more_room(name: str) -> None:
    problem = released(name)
    best = next(moved_about(problem, [a for a in solve(problem) if a.fits]))
    assert best.fits
    apart = Apart(problem)
    own = float(apart.crowding(best.unknowns[None])[0])
    assert own == pytest.approx(best.crowding, rel=1e-9)
    assert np.abs(apart.equations(best.unknowns)).max(initial=0.0) < 0.01
    others = _others(problem, best.unknowns, 2)
    found = [apart.roomier(start, STEPS)[0] for start in (best.unknowns, *others)]
    assert min(found) > 0.9 * own, (own, found)


def test_the_referee_does_find_room_where_there_is_some() -> None:
    """Started from a layout pushed aside it comes back to the solver's, so it is no blind judge."""
    problem = released("figure-of-eight-with-new-leads")
    best = next(moved_about(problem, [a for a in solve(problem) if a.fits]))
    apart = Apart(problem)
    aside = best.unknowns.copy()
    aside[:2] += (2.0, -1.0)
    before = float(apart.crowding(aside[None])[0])
    after, _ = apart.roomier(aside, 40)
    assert after < before
    assert after == pytest.approx(best.crowding, rel=0.1)
