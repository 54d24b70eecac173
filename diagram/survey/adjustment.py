"""Least squares: parameters from more measurements than are needed, and how sure one may be.

The Gauss-Markov model of the textbooks (E. Mikhail and F. Ackermann, *Observations and Least
Squares*, 1976; C. Ghilani, *Adjustment Computations*, chapters 11-16): observations l with
standard errors s_i, weights P = diag(1/s_i²), computed values f(x), design matrix A = df/dx.
Each Gauss-Newton step solves (AᵀPA) dx = AᵀP (l - f(x)). With Q = (AᵀPA)⁻¹ the residuals
v = f(x) - l have the cofactors Qvv = P⁻¹ - A Q Aᵀ, and r_i = (Qvv P)_ii is the redundancy number
of an observation: the share of its own error that shows in its residual. Confidence ellipses are
those of Ghilani, chapter 19.

Where the observations do not determine every parameter, the step is the shortest one (by the
singular values of the weighted A), so that what is not determined stays at its start.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Array = NDArray[np.float64]

Model = Callable[[Array], tuple[Array, Array]]
"""From parameters (n,) to computed values (m,) and design matrix (m, n)."""

MOST_STEPS = 60
STILL = 1e-10
"""A step shorter than this changes nothing any more (metres)."""

TESTABLE = 1e-6
"""Redundancy number under which an observation is not checked by any other."""

NOTHING = 1e-6
"""As good as nothing: the part of an undetermined direction in what counts as determined."""

LOOSEST = 7
"""Before any tape, each parameter has a standard error of so many times the widest: 2.1 m, and 20
degrees at the arm of a fence. Without such a bound a direction that no tape tells of, and to
which a length is all but indifferent, would make that length unknown."""

CONFIDENCE = 0.95
ONE_IN_TWENTY = 1.645
"""The standard normal deviate that is exceeded once in twenty times."""


class Adjustment(Struct, frozen=True, dict=True):
    """An adjusted set of observations.

    `x` (n,) parameters; `computed` (m,) adjusted observations; `residuals` (m,) adjusted less
    observed; `sigmas` (m,) standard errors assumed; `design` (m, n) at the solution; `cofactors`
    (n, n), which times the variance of unit weight is the covariance of `x`; `loose` (n, k) the
    directions that the observations say too little about, each as long as its standard error,
    as far as that is to be believed; `widest` the standard error from which they are that.
    """

    x: Array
    computed: Array
    residuals: Array
    sigmas: Array
    design: Array
    cofactors: Array
    loose: Array
    widest: float
    converged: bool

    @property
    def freedom(self) -> int:
        """Degrees of freedom: observations more than were needed."""
        return int(len(self.residuals) - len(self.x) + self.loose.shape[1])

    @property
    def weighted_sum(self) -> float:
        """vᵀPv, which the adjustment has made as small as can be."""
        return float(np.sum((self.residuals / self.sigmas) ** 2))

    @property
    def sigma0(self) -> float:
        """Posterior standard deviation of unit weight; 1 where nothing is left over to tell.

        It is near 1 when the residuals are as large as the standard errors assumed.
        """
        return math.sqrt(self.weighted_sum / self.freedom) if self.freedom else 1.0

    @property
    def variance(self) -> tuple[float, int | None]:
        """Variance of unit weight to reckon with, and its degrees of freedom if it is estimated.

        That is 1 as assumed, unless vᵀPv is larger than chi² lets it be once in twenty times
        (the global test of Ghilani, section 16.7): then the tapes were worse than they were
        said to be, and the posterior variance counts. The quantile is that of E. Wilson and
        M. Hilferty (1931), good to one part in a hundred.
        """
        f = self.freedom
        if f < 1:
            return 1.0, None
        limit = f * (1 - 2 / (9 * f) + ONE_IN_TWENTY * math.sqrt(2 / (9 * f))) ** 3
        return (self.sigma0**2, f) if self.weighted_sum > limit else (1.0, None)

    @cached_property
    def residual_cofactors(self) -> Array:
        """Qvv (m, m)."""
        return np.asarray(np.diag(self.sigmas**2) - self.design @ self.cofactors @ self.design.T)

    @cached_property
    def redundancy(self) -> Array:
        """Redundancy numbers (m,), each from 0 to 1; their sum is the degrees of freedom."""
        return np.asarray(np.clip(np.diag(self.residual_cofactors) / self.sigmas**2, 0.0, 1.0))

    @cached_property
    def standardised(self) -> Array:
        """Residuals (m,) over their own standard errors; 0 where no other observation checks."""
        checked = self.redundancy > TESTABLE
        spread = self.sigmas * np.sqrt(np.where(checked, self.redundancy, 1.0))
        return np.where(checked, self.residuals / spread, 0.0)

    @cached_property
    def bounded(self) -> Array:
        """Cofactors (n, n) with what is believed before any tape: (AᵀPA + I/b²)⁻¹, b the bound.

        One tape more never makes a quantity less sure: it adds a positive matrix to the one that
        is inverted.
        """
        bound = LOOSEST * self.widest
        weighted = self.design / self.sigmas[:, None]
        normal = weighted.T @ weighted + np.eye(len(self.x)) / bound**2
        return np.asarray(np.linalg.inv(normal))

    def determines(self, gradient: Array) -> bool:
        """Whether a quantity with this gradient (n,) by the parameters is determined."""
        if self.widest <= NOTHING:
            return float(np.linalg.norm(gradient @ self.loose)) <= self.widest
        return math.sqrt(max(float(gradient @ self.bounded @ gradient), 0.0)) <= self.widest

    def covariance_of(self, rows: Array) -> Array:
        """Cofactors (k, k) of quantities with these gradients (k, n), what is loose included."""
        if self.widest > NOTHING:
            return np.asarray(rows @ self.bounded @ rows.T)
        loose = rows @ self.loose
        return np.asarray(rows @ self.cofactors @ rows.T + loose @ loose.T)


def adjust(
    model: Model, observed: Array, sigmas: Array, start: Array, widest: float = math.inf
) -> Adjustment:
    """Adjust `observed` (m,) with standard errors `sigmas` (m,) from the parameters `start` (n,).

    A combination of parameters whose standard error is above `widest` counts as undetermined;
    without that only one of which the observations say nothing at all.
    """
    x = start.astype(float)
    computed, design = model(x)
    cost = _cost(computed, observed, sigmas)
    converged = False
    for _ in range(MOST_STEPS):
        basis = _Basis.of(design / sigmas[:, None], widest)
        step = basis.solve((observed - computed) / sigmas)
        if float(np.max(np.abs(step), initial=0.0)) < STILL:
            converged = True
            break
        # A full step may overshoot where the start is far off: then a shorter one is taken.
        for share in (1.0, 0.5, 0.25, 0.1, 0.02):
            moved, moved_design = model(x + share * step)
            lower = _cost(moved, observed, sigmas)
            if lower < cost:
                break
        else:
            converged = float(np.max(np.abs(step))) < 1e-6
            break
        x, computed, design, cost = x + share * step, moved, moved_design, lower
    basis = _Basis.of(design / sigmas[:, None], widest)
    residuals = computed - observed
    bound = widest if math.isfinite(widest) else NOTHING
    return Adjustment(
        x, computed, residuals, sigmas, design, basis.cofactors, basis.loose, bound, converged
    )


def _cost(computed: Array, observed: Array, sigmas: Array) -> float:
    return float(np.sum(((computed - observed) / sigmas) ** 2))


class _Basis(Struct, frozen=True):
    """A weighted design matrix taken apart into what it determines and what is loose."""

    left: Array
    values: Array
    right: Array
    loose: Array

    @classmethod
    def of(cls, weighted: Array, widest: float) -> _Basis:
        u, some, vt = np.linalg.svd(weighted, full_matrices=True)
        s = np.zeros(vt.shape[0])
        s[: len(some)] = some
        least = max(1e-9 * float(s.max(initial=0.0)), 1 / widest, 1e-300)
        rank = int(np.sum(s > least))
        longest = LOOSEST * widest if math.isfinite(widest) else 1.0
        lengths = np.minimum(1 / np.maximum(s[rank:], 1e-300), longest)
        return cls(u[:, :rank], s[:rank], vt[:rank], vt[rank:].T * lengths)

    def solve(self, right_side: Array) -> Array:
        return np.asarray(self.right.T @ ((self.left.T @ right_side) / self.values))

    @property
    def cofactors(self) -> Array:
        half = self.right.T / self.values
        return np.asarray(half @ half.T)


class Ellipse(Struct, frozen=True):
    """A confidence ellipse: half axes in metres, and the direction of the longer one in radians,
    anticlockwise from x. The truth lies within it with a probability of CONFIDENCE."""

    major_m: float
    minor_m: float
    direction: float

    def holds(self, dx: float, dy: float) -> bool:
        """Whether a place so far from the middle lies within."""
        along = dx * math.cos(self.direction) + dy * math.sin(self.direction)
        across = dy * math.cos(self.direction) - dx * math.sin(self.direction)
        if not self.minor_m:
            return False
        return math.hypot(along / self.major_m, across / self.minor_m) <= 1.0


def ellipse(cofactors: Array, variance: float = 1.0, freedom: int | None = None) -> Ellipse:
    """The confidence ellipse of a point from its cofactors (2, 2).

    With `freedom` None `variance` is known beforehand, and the half axes are those of the
    standard ellipse times sqrt(chi²(2)) = sqrt(-2 ln 0.05) = 2.448. Otherwise it was estimated
    from so many degrees of freedom, and the factor is sqrt(2 F(2, freedom)). Both quantiles have
    a closed form for two dimensions. Raises ValueError for no degrees of freedom.
    """
    values, vectors = np.linalg.eigh(cofactors)
    factor = _factor(freedom) * math.sqrt(variance)
    major, minor = (factor * math.sqrt(max(float(v), 0.0)) for v in values[::-1])
    return Ellipse(major, minor, math.atan2(vectors[1, 1], vectors[0, 1]))


def _factor(freedom: int | None) -> float:
    tail = 1 - CONFIDENCE
    if freedom is None:
        return math.sqrt(-2 * math.log(tail))
    if freedom < 1:
        raise ValueError("a variance cannot be estimated from no degrees of freedom")
    # P(F(2, f) > q) = (1 + 2 q / f)^(-f / 2), solved for q.
    return math.sqrt(freedom * (tail ** (-2 / freedom) - 1))
