"""Ranges and trends against other libraries and printed figures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from diagram.records.rates import difference, interval, rate, slope, widening

PRINTED = (
    # Jeffreys, equal-tailed, 95 %. The first three: R package binom, method "bayes", as stored
    # in statsmodels (tests/results/results_proportion.py). 173 of 174: the example of
    # A. Downey, "Think Bayes" (2nd edition), recomputed.
    (18, 20, 0.95, 0.716147, 0.978628),
    (4, 20, 0.95, 0.071520, 0.408226),
    (4, 200, 0.95, 0.006788, 0.046847),
    (173, 174, 0.95, 0.973457, 0.999379),
)


@pytest.mark.parametrize(("x", "n", "held", "low", "high"), PRINTED)
def test_printed_ranges(x: int, n: int, held: float, low: float, high: float) -> None:
    assert interval(x, n, held) == pytest.approx((low, high), abs=5e-7)


@given(st.integers(1, 300), st.floats(0, 1), st.sampled_from([0.5, 0.8, 0.95]))
def test_against_scipy_stats(n: int, share: float, held: float) -> None:
    x = round(share * n)
    low, high = interval(x, n, held)
    posterior = stats.beta(x + 0.5, n - x + 0.5)
    tail = (1 - held) / 2
    assert low == (0.0 if x == 0 else pytest.approx(posterior.ppf(tail), abs=1e-9))
    assert high == (1.0 if x == n else pytest.approx(posterior.ppf(1 - tail), abs=1e-9))


def test_against_plain_integration() -> None:
    low, high = interval(7, 11, 0.8)

    def density(p: float) -> float:
        return float(p**6.5 * (1 - p) ** 3.5)

    whole = integrate.quad(density, 0, 1)[0]
    assert integrate.quad(density, 0, low)[0] / whole == pytest.approx(0.1, abs=1e-7)
    assert integrate.quad(density, high, 1)[0] / whole == pytest.approx(0.1, abs=1e-7)


def test_nothing_seen_says_nothing() -> None:
    assert interval(0, 0) == (0.0, 1.0)
    assert rate(0, 0, 0).share == 0.0
    with pytest.raises(ValueError, match="no share"):
        interval(3, 2)


def test_days_that_hang_together_widen_a_range() -> None:
    assert widening(8, 10, 10, 0.7) == 1.0
    assert widening(24, 32, 4, 0.0) == 1.0
    # q = 24.5/33, v = q (1-q) 0.49, r = v/(1+v), D = 1 + 7 r.
    assert widening(24, 32, 4, 0.7) == pytest.approx(1 + 7 * 0.0937 / 1.0937, abs=2e-3)
    narrow, wide = rate(24, 32, 4), rate(24, 32, 4, 0.7)
    assert wide.low < narrow.low
    assert wide.high > narrow.high


@pytest.mark.parametrize(("day_sd", "days", "each"), [(0.7, 4, 8), (1.0, 6, 5), (0.35, 3, 3)])
def test_widened_ranges_hold_what_they_say(day_sd: float, days: int, each: int) -> None:
    """20,000 simulated records each; 0.75 is what the widening is good for, 0.8 what it aims at.

    The true share is that of an average day, drawn with the days.
    """
    chance = np.random.default_rng(3)
    runs = 4000
    centre = chance.normal(1.0, 1.0, runs)
    nodes = np.linspace(-3, 3, 61)
    weights = np.exp(-0.5 * nodes**2)
    weights /= weights.sum()
    truth = (1 / (1 + np.exp(-(centre[:, None] + day_sd * nodes)))) @ weights
    p = 1 / (1 + np.exp(-(centre[:, None] + chance.normal(0, day_sd, (runs, days)))))
    x = chance.binomial(each, p).sum(axis=1)
    ends = {int(k): rate(int(k), days * each, days, day_sd) for k in np.unique(x)}
    held = [ends[int(k)].low <= t <= ends[int(k)].high for k, t in zip(x, truth, strict=True)]
    assert 0.75 < np.mean(held) < 0.90


def test_difference_of_two_shares_against_draws() -> None:
    chance = np.random.default_rng(5)
    draws = chance.beta(36.5, 2.5, 400_000) - chance.beta(20.5, 10.5, 400_000)
    low, high, above = difference(36, 38, 20, 30)
    # 400,000 draws: a quantile is good to about 0.0005.
    assert (low, high) == pytest.approx(tuple(np.quantile(draws, [0.1, 0.9])), abs=2e-3)
    assert above == pytest.approx(float((draws > 0).mean()), abs=2e-3)


def test_trend_against_numpy() -> None:
    months, shares, tries = [0.0, 1, 2, 4, 5], [0.5, 0.7, 0.6, 0.9, 0.8], [4, 10, 5, 20, 8]
    steep, error = slope(months, shares, tries)
    fitted, covariance = np.polyfit(months, shares, 1, w=np.sqrt(tries), cov=True)
    assert steep == pytest.approx(fitted[0])
    assert error == pytest.approx(float(np.sqrt(covariance[0, 0])))
    assert slope([1.0, 2.0], [0.1, 0.9], [3, 3]) == (0.0, float("inf"))


def test_why_all_tries_count_and_not_the_last_ten() -> None:
    """Looked at after every try over 60 tries, "8 of the last 10" comes true for a share of a
    half in about 59 of 100 records; "8 in 10 of all" at the end in none.
    """
    chance = np.random.default_rng(9)
    tries = chance.random((4000, 60)) < 0.5
    sums = np.cumsum(np.pad(tries, ((0, 0), (1, 0))), axis=1)
    ever = ((sums[:, 10:] - sums[:, :-10]) >= 8).any(axis=1).mean()
    assert ever == pytest.approx(0.59, abs=0.03)
    assert (sums[:, -1] >= 48).mean() < 0.001
