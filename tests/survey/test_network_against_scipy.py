"""Random networks against scipy.optimize.least_squares, which knows nothing of this program."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import least_squares

from diagram.geometry.pose import Pose
from diagram.survey.network import ARM_M, Network, Rigid, Tape

CORNERS = {"A": (0.0, 0.0), "B": (60.0, 0.0), "C": (60.0, 30.0), "D": (0.0, 30.0)}
FIGURE = {"left": (0.0, 1.8), "right": (0.0, -1.8), "back": (0.8, 1.8)}

seeds = st.integers(0, 2**32 - 1)


def _at(pose: tuple[float, float, float], local: tuple[float, float]) -> tuple[float, float]:
    """A point of a figure, written out here once more."""
    x, y, turn = pose
    return (
        x + local[0] * math.cos(turn) - local[1] * math.sin(turn),
        y + local[0] * math.sin(turn) + local[1] * math.cos(turn),
    )


@settings(max_examples=40, deadline=None)
@given(seed=seeds, figures=st.integers(1, 4))
def test_same_places_cost_and_covariance(seed: int, figures: int) -> None:
    random = np.random.default_rng(seed)
    truth = [
        (random.uniform(8, 52), random.uniform(6, 24), random.uniform(-3, 3))
        for _ in range(figures)
    ]
    names = [(n, part) for n in range(figures) for part in FIGURE]
    where = {f"{n} {part}": _at(truth[n], FIGURE[part]) for n, part in names}
    pairs = [(corner, name) for name in where for corner in CORNERS if random.random() < 0.7]
    pairs += [(f"{n} left", f"{n + 1} right") for n in range(figures - 1)]
    points = {**CORNERS, **where}
    tapes = [
        Tape(a, b, math.dist(points[a], points[b]) + random.normal(0, 0.03), 0.02 + 0.02 * (k % 2))
        for k, (a, b) in enumerate(pairs)
    ]
    starts = [(x + 0.4, y - 0.3, turn + 0.1) for x, y, turn in truth]
    bodies = [
        Rigid(str(n), {f"{n} {part}": at for part, at in FIGURE.items()}, Pose(*starts[n]))
        for n in range(figures)
    ]
    found = Network(CORNERS, bodies).adjusted(tapes)

    def misfit(x: NDArray[np.float64]) -> list[float]:
        def place(name: str) -> tuple[float, float]:
            if name in CORNERS:
                return CORNERS[name]
            n, part = name.split()
            return _at(tuple(x[3 * int(n) : 3 * int(n) + 3]), FIGURE[part])  # type: ignore[arg-type]

        return [
            (math.dist(place(tape.first), place(tape.second)) - tape.metres) / tape.sigma_m
            for tape in tapes
        ]

    scale = np.tile([1.0, 1.0, ARM_M], figures)
    if np.linalg.cond(found.design) > 1e3 or found.freedom < 1:
        return
    judge = least_squares(misfit, found.x / scale, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    # Both stop when a step no longer helps: a tenth of a micron, on residuals of centimetres.
    assert found.x == pytest.approx(judge.x * scale, abs=1e-6)
    assert found.weighted_sum == pytest.approx(2 * judge.cost, rel=1e-8)
    covariance = np.linalg.inv(judge.jac.T @ judge.jac) * np.outer(scale, scale)
    # The Jacobian of scipy is a difference quotient.
    assert found.cofactors == pytest.approx(covariance, rel=1e-3, abs=1e-8)
    assert found.redundancy.sum() == pytest.approx(found.freedom, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(seed=seeds)
def test_from_a_start_that_is_metres_off(seed: int) -> None:
    """The steps find their way from two metres and twenty degrees."""
    random = np.random.default_rng(seed)
    truth = (random.uniform(15, 45), random.uniform(8, 22), random.uniform(-3, 3))
    where = {part: _at(truth, at) for part, at in FIGURE.items()}
    points = {**CORNERS, **where}
    tapes = [Tape(a, b, math.dist(points[a], points[b]), 0.02) for a in CORNERS for b in FIGURE]
    way = random.uniform(0, 2 * math.pi)
    start = Pose(
        truth[0] + 2 * math.cos(way), truth[1] + 2 * math.sin(way), truth[2] + math.radians(20)
    )
    found = Network(CORNERS, [Rigid("f", FIGURE, start)]).adjusted(tapes)
    assert found.converged
    x, y, turn = found.x[0], found.x[1], found.x[2] / ARM_M
    assert (x, y, turn) == pytest.approx(truth, abs=1e-6)


def test_what_is_not_determined_stays_where_it_was() -> None:
    """One tape to a free point moves it along the tape only."""
    network = Network(CORNERS, [Rigid("p", {"p": (0.0, 0.0)}, Pose(30.0, 0.0, 0.0))])
    found = network.adjusted([Tape("A", "p", 31.0, 0.02)])
    assert found.x == pytest.approx([31.0, 0.0], abs=1e-9)
    assert found.freedom == 0
    assert found.determines(np.array([1.0, 0.0]))
    assert not found.determines(np.array([0.0, 1.0]))


def test_a_tape_between_corners_checks_the_arena_and_nothing_else() -> None:
    network = Network(CORNERS, [Rigid("p", {"p": (0.0, 0.0)}, Pose(30.0, 10.0, 0.0))])
    tapes = [Tape("A", "p", 31.0, 0.02), Tape("B", "p", 31.0, 0.02), Tape("A", "B", 60.5, 0.02)]
    found = network.adjusted(tapes)
    assert found.redundancy == pytest.approx([0, 0, 1], abs=1e-9)
    assert found.standardised[2] == pytest.approx(-25.0)
