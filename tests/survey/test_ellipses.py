"""Confidence ellipses: against the error of two crossing tapes, against chance, against scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from diagram.geometry.pose import Pose
from diagram.survey.adjustment import ellipse
from diagram.survey.network import Network, Rigid, Tape

SIGMA_M = 0.02


@pytest.mark.parametrize(
    ("angle", "major", "minor"),
    [(15, 5.42, 0.71), (30, 2.73, 0.73), (45, 1.85, 0.77), (60, 1.41, 0.82), (90, 1.0, 1.0),
     (120, 1.41, 0.82), (150, 2.73, 0.73)],
)  # fmt: skip
def test_two_tapes_that_cross(angle: float, major: float, minor: float) -> None:
    """The range-range result: half axes s / (√2 sin γ/2) and s / (√2 cos γ/2), derived."""
    half = math.radians(angle) / 2
    known = {
        "A": (-20 * math.sin(half), -20 * math.cos(half)),
        "B": (20 * math.sin(half), -20 * math.cos(half)),
    }
    network = Network(known, [Rigid("p", {"p": (0.0, 0.0)}, Pose(0.0, 0.0, 0.0))])
    found = network.adjusted([Tape(name, "p", 20.0, SIGMA_M) for name in known])
    at = ellipse(found.cofactors)
    factor = SIGMA_M * math.sqrt(stats.chi2.ppf(0.95, 2))
    # The table has two decimals.
    assert at.major_m / factor == pytest.approx(major, abs=0.006)
    assert at.minor_m / factor == pytest.approx(minor, abs=0.006)


@pytest.mark.parametrize("freedom", [1, 2, 5, 30])
def test_factors_are_those_of_scipy(freedom: int) -> None:
    known = ellipse(np.eye(2)).major_m
    assert known == pytest.approx(math.sqrt(stats.chi2.ppf(0.95, 2)), rel=1e-9)
    estimated = ellipse(np.eye(2), 1.0, freedom).major_m
    assert estimated == pytest.approx(math.sqrt(2 * stats.f.ppf(0.95, 2, freedom)), rel=1e-9)


def test_no_ellipse_from_no_freedom() -> None:
    with pytest.raises(ValueError, match="no degrees of freedom"):
        ellipse(np.eye(2), 1.0, 0)


CORNERS = {"A": (0.0, 0.0), "B": (60.0, 0.0), "C": (60.0, 30.0), "D": (0.0, 30.0)}
FIGURE = {"left": (0.0, 1.8), "right": (0.0, -1.8)}


@pytest.mark.parametrize("estimated", [False, True])
def test_they_hold_the_truth_nineteen_times_in_twenty(estimated: bool) -> None:
    random = np.random.default_rng(11)
    truth = Pose(22.0, 11.0, 0.4)
    network = Network(CORNERS, [Rigid("f", FIGURE, truth)])
    pairs = [(a, b) for a in CORNERS for b in FIGURE]
    lengths = [math.dist(CORNERS[a], truth.ahead(*FIGURE[b]).point) for a, b in pairs]
    trials, held = 1000, 0
    for _ in range(trials):
        noise = random.normal(0, SIGMA_M, len(pairs))
        found = network.adjusted(
            [
                Tape(a, b, length + e, SIGMA_M)
                for (a, b), length, e in zip(pairs, lengths, noise, strict=True)
            ]
        )
        place = found.cofactors[:2, :2]
        area = ellipse(place, found.sigma0**2, found.freedom) if estimated else ellipse(place)
        held += area.holds(truth.x - found.x[0], truth.y - found.x[1])
    # Three standard errors of a share of 0.95 from 1,000 trials.
    assert held / trials == pytest.approx(0.95, abs=3 * math.sqrt(0.95 * 0.05 / trials))


def test_the_global_test_turns_to_the_estimate_only_when_it_must() -> None:
    """Sound tapes keep the error that was assumed; tapes three times as bad do not (chi²)."""
    random = np.random.default_rng(4)
    truth = Pose(22.0, 11.0, 0.4)
    network = Network(CORNERS, [Rigid("f", FIGURE, truth)])
    pairs = [(a, b) for a in CORNERS for b in FIGURE]

    def share(times: float) -> float:
        turned = 0
        for _ in range(300):
            tapes = [
                Tape(a, b, math.dist(CORNERS[a], truth.ahead(*FIGURE[b]).point)
                     + random.normal(0, SIGMA_M * times), SIGMA_M)
                for a, b in pairs
            ]  # fmt: skip
            turned += network.adjusted(tapes).variance[1] is not None
        return turned / 300

    # Three standard errors of a share from 300 trials.
    freedom = len(pairs) - 3
    limit = stats.chi2.ppf(0.95, freedom)
    for times in (1.0, 3.0):
        wanted = stats.chi2.sf(limit / times**2, freedom)
        assert share(times) == pytest.approx(wanted, abs=3 * math.sqrt(wanted * (1 - wanted) / 300))
