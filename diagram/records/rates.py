"""How often something was as asked, and how far the true rate may lie from what few tries show.

A share has the Jeffreys prior, Beta(1/2, 1/2), and an equal-tailed range; 0 is the lower end
where nothing was as asked, and 1 the upper where all was (L. D. Brown, T. T. Cai and A. DasGupta,
"Interval Estimation for a Binomial Proportion", Statistical Science 16, 2001).

Tries of one day hang together. A range is drawn as if there had been fewer of them: n / D with
D = 1 + (m - 1) r, where m is the tries in a day and r their correlation (L. Kish, "Survey
Sampling", 1965, from memory). `day_sd` is the spread of days on the scale of log odds; in the
middle of the scale one unit of it is q (1 - q) of share.
"""

from __future__ import annotations

from msgspec import Struct

HELD = 0.8
"""The ranges that are printed hold the true share in 8 of 10 cases."""


class Rate(Struct, frozen=True):
    """`x` of `n` as asked, on `days` days, with the range of the true share."""

    x: int
    n: int
    days: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share seen; 0 for no try."""
        return self.x / self.n if self.n else 0.0


def interval(x: float, n: float, held: float = HELD) -> tuple[float, float]:
    """The equal-tailed range of a share after `x` of `n`; 0 and 1 for no try.

    Neither needs to be whole. Raises ValueError when `x` does not lie between 0 and `n`.
    """
    from scipy.special import betaincinv

    if not 0 <= x <= n:
        raise ValueError(f"{x} of {n} is no share")
    if n == 0:
        return 0.0, 1.0
    tail = (1 - held) / 2
    a, b = x + 0.5, n - x + 0.5
    low = 0.0 if x == 0 else float(betaincinv(a, b, tail))
    high = 1.0 if x == n else float(betaincinv(a, b, 1 - tail))
    return low, high


def widening(x: int, n: int, days: int, day_sd: float) -> float:
    """By how much tries of one day tell less than as many days would; 1 or more."""
    if n == 0 or days == 0:
        return 1.0
    q = (x + 0.5) / (n + 1)
    variance = q * (1 - q) * day_sd**2
    correlation = variance / (1 + variance)
    return max(1.0, 1 + (n / days - 1) * correlation)


def rate(x: int, n: int, days: int, day_sd: float = 0.0, held: float = HELD) -> Rate:
    """`x` of `n` on so many days, with its range widened for tries that hang together."""
    wide = widening(x, n, days, day_sd)
    return Rate(x, n, days, *interval(x / wide, n / wide, held))


GRID = 400


def difference(
    x1: float, n1: float, x2: float, n2: float, held: float = HELD
) -> tuple[float, float, float]:
    """The first share less the second: low and high end, and the chance that it is above 0.

    Worked out on a grid of equally likely values of both, so that no chance is in it.
    """
    import numpy as np
    from scipy.special import betaincinv

    levels = (np.arange(GRID) + 0.5) / GRID
    first = betaincinv(x1 + 0.5, n1 - x1 + 0.5, levels)
    second = betaincinv(x2 + 0.5, n2 - x2 + 0.5, levels)
    apart = np.sort((first[:, None] - second[None, :]).ravel())
    tail = (1 - held) / 2
    low, high = np.quantile(apart, [tail, 1 - tail])
    return float(low), float(high), float((apart > 0).mean())


def slope(months: list[float], shares: list[float], tries: list[int]) -> tuple[float, float]:
    """Change of a share in a month and its standard error, by least squares with the tries as
    weights; (0, infinity) for fewer than three months."""
    import numpy as np

    if len(months) < 3 or len(set(months)) < 2:
        return 0.0, float("inf")
    t, y, w = (np.asarray(values, float) for values in (months, shares, tries))
    middle = float((w * t).sum() / w.sum())
    spread = float((w * (t - middle) ** 2).sum())
    steep = float((w * (t - middle) * y).sum() / spread)
    level = float((w * y).sum() / w.sum())
    rest = y - level - steep * (t - middle)
    scatter = float((w * rest**2).sum()) / (len(y) - 2)
    return steep, float(np.sqrt(scatter / spread))
