"""Blunders: named when they are there, with the power that Baarda's numbers promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from as_built_trials import NONCENTRALITY, TAPE_M, detectable, exercise, taped
from scipy import stats

from diagram.geometry.pose import Pose
from diagram.survey.adjustment import Adjustment
from diagram.survey.as_built import Options
from diagram.survey.blunders import CRITICAL, snoop
from diagram.survey.form import form_tapes
from diagram.survey.network import Network, Rigid, Tape
from diagram.survey.places import find_places
from diagram.survey.slips import slip_of, slips

SIGMA_M = 0.02
PINNED = (
    "grid-from-trot-on-the-centre-line", "forward-wait-and-a-double",
    "straight-out-and-home-on-an-angle",
)  # fmt: skip
CORNERS = {
    "A": (0.0, 0.0), "B": (60.0, 0.0), "C": (60.0, 30.0), "D": (0.0, 30.0), "E": (30.0, 30.0),
}  # fmt: skip
FIGURE = {"left": (0.0, 1.8), "right": (0.0, -1.8)}
TRUTH = Pose(22.0, 11.0, 0.4)
NETWORK = Network(CORNERS, [Rigid("f", FIGURE, TRUTH)])
PAIRS = [(a, b) for a in CORNERS for b in FIGURE]
LENGTHS = [math.dist(CORNERS[a], TRUTH.ahead(*FIGURE[b]).point) for a, b in PAIRS]


def _tapes(errors: np.ndarray) -> list[Tape]:
    return [
        Tape(a, b, length + error, SIGMA_M)
        for (a, b), length, error in zip(PAIRS, LENGTHS, errors, strict=True)
    ]


def _adjusted(tapes: list[Tape]) -> Adjustment:
    return NETWORK.adjusted(tapes)


def test_the_two_numbers_belong_together() -> None:
    """3.29 is the two-sided 0.1 % point; 4.13 more pushes four in five over it (scipy.stats)."""
    assert stats.norm.ppf(1 - 0.0005) == pytest.approx(CRITICAL, abs=0.005)
    assert stats.norm.cdf(NONCENTRALITY - CRITICAL) == pytest.approx(0.80, abs=0.002)


def test_power_is_as_stated() -> None:
    """A blunder of the size called detectable fails its own test four times in five."""
    random = np.random.default_rng(20)
    size = detectable(_adjusted(_tapes(np.zeros(len(PAIRS)))))
    trials, found = 600, 0
    for n in range(trials):
        errors = random.normal(0, SIGMA_M, len(PAIRS))
        at = n % len(PAIRS)
        errors[at] += size[at]
        found += abs(_adjusted(_tapes(errors)).standardised[at]) > CRITICAL
    # Three standard errors of a share of 0.8 from 600 trials.
    assert found / trials == pytest.approx(0.80, abs=3 * math.sqrt(0.16 / trials))


def test_sound_tapes_are_left_alone() -> None:
    """About one tape in a thousand fails without cause, so one set of ten in a hundred."""
    random = np.random.default_rng(3)
    blamed = sum(
        bool(snoop(_tapes(random.normal(0, SIGMA_M, len(PAIRS))), _adjusted).blunders)
        for _ in range(300)
    )
    # Binomial with p = 0.01 at the most: more than nine in 300 has a probability under 0.2 %.
    assert blamed <= 9


@pytest.mark.parametrize("at", range(len(PAIRS)))
@pytest.mark.parametrize("size", [1.0, -0.3])
def test_a_slip_is_named_and_measured(at: int, size: float) -> None:
    random = np.random.default_rng(100 + at)
    # Without the outliers that a sound set has once in a hundred: they are another test's.
    errors = np.clip(random.normal(0, SIGMA_M, len(PAIRS)), -2 * SIGMA_M, 2 * SIGMA_M)
    errors[at] += size
    found = snoop(_tapes(errors), _adjusted)
    (blunder,) = found.blunders
    assert blunder.number == at
    assert not blunder.or_else
    # Its size is known as well as the tape that the others would have read, and its own noise.
    assert blunder.error_m == pytest.approx(size, abs=5 * SIGMA_M)
    assert at not in found.kept


def test_two_slips() -> None:
    errors = np.zeros(len(PAIRS))
    errors[2], errors[7] = 1.0, -0.5
    found = snoop(_tapes(errors), _adjusted)
    assert {blunder.number for blunder in found.blunders} == {2, 7}
    assert found.adjustment.weighted_sum == pytest.approx(0.0, abs=1e-6)


def test_two_that_cannot_be_told_apart() -> None:
    """Three tapes to one point: one is too long, and nobody can say which."""
    network = Network(CORNERS, [Rigid("p", {"p": (0.0, 0.0)}, Pose(30.0, 12.0, 0.0))])
    tapes = [Tape(a, "p", math.dist(CORNERS[a], (30.0, 12.0)), SIGMA_M) for a in ("A", "B", "E")]
    tapes[0] = Tape("A", "p", tapes[0].metres + 0.5, SIGMA_M)
    found = snoop(tapes, network.adjusted)
    (blunder,) = found.blunders
    assert {blunder.number, *blunder.or_else} == {0, 1, 2}


def test_a_tape_that_nothing_checks_is_not_blamed() -> None:
    network = Network(CORNERS, [Rigid("p", {"p": (0.0, 0.0)}, Pose(30.0, 12.0, 0.0))])
    tapes = [Tape(a, "p", 35.0, SIGMA_M) for a in ("A", "B")]
    found = snoop(tapes, network.adjusted)
    assert not found.blunders
    assert np.all(np.isinf(detectable(found.adjustment)))


@pytest.mark.parametrize("trials", [40, pytest.param(200, marks=pytest.mark.long)])
def test_in_two_hundred_sheets_hardly_a_sound_tape_is_accused(trials: int) -> None:
    """A yard, a foot, or feet and inches changed about, on one tape of a form whose fences stand a
    little off. A sound one is named, beside the guilty one or in its place, in at most one of
    twenty; and in at most one of a hundred the guilty one is not named at all."""
    accused, missed = 0, 0
    plans = [(plan := exercise(name), form_tapes(plan, TAPE_M, SIGMA_M)) for name in PINNED]
    for seed in range(trials):
        random = np.random.default_rng(1000 + seed)
        plan, pairs = plans[seed % len(plans)]
        off = {f.name: tuple(random.normal(0, (0.1, 0.1, 2.0))) for f in plan.fences}
        at = int(random.integers(len(pairs)))
        size = float(random.choice([0.9144, 0.3048, -0.9144, -0.3048]))
        sheet = taped(plan, off, pairs=pairs, blunders={at: size}, seed=seed)  # type: ignore[arg-type]
        places = find_places(plan, sheet.tapes, Options(TAPE_M).feet_free)
        named = {
            places.used[n] for slip in places.snooped.blunders for n in (slip.number, *slip.or_else)
        }
        missed += sheet.tapes[at] not in named
        accused += named != {sheet.tapes[at]}
    assert accused / trials <= 0.05
    assert missed / trials <= 0.01


def test_the_units_of_the_sheet_say_what_a_slip_is() -> None:
    assert [slip.words for slip in slips(20.0, feet=True)][:2] == ["One yard", "One yard"]
    assert slip_of(20.0, True, 0.91, 0.01).words == "One yard"  # type: ignore[union-attr]
    assert slip_of(20.0, False, 0.91, 0.01) is None
    assert slip_of(20.0, False, -1.01, 0.01).words == "One metre"  # type: ignore[union-attr]
    # 7'3" written for 3'7": 44 inches too long.
    swapped = slip_of(7 * 0.3048 + 3 * 0.0254, True, 44 * 0.0254, 0.005)
    assert swapped is not None
    assert "inches" in swapped.words
    # 63' written for 36'.
    assert "digits" in slip_of(63 * 0.3048, True, 27 * 0.3048, 0.005).words  # type: ignore[union-attr]
