"""Records whose truth is known: the five invented pairs with abilities drawn anew."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from diagram.records.apart import Trial, fit

PAIRS = (("Bramble", "Ida", 26), ("Comet", "Ida", 8), ("Comet", "Jonas", 18),
         ("Sorrel", "Marit", 22), ("Bramble", "Tess", 9))  # fmt: skip
KINDS = ("start", "turn", "line", "bend", "landing")


@dataclass
class Tally:
    """How often a contrast was held, and what was said of it."""

    runs: int = 0
    held80: int = 0
    held95: int = 0
    ratio: float = 0.0
    said: int = 0
    right: int = 0


CONTRASTS = {
    "two horses under one rider": ("horse", "Bramble", "Comet"),
    "two riders on one horse": ("rider", "Ida", "Tess"),
    "two riders on the other": ("rider", "Ida", "Jonas"),
    "two horses without a link": ("horse", "Sorrel", "Comet"),
}


def simulate(runs: int, seed: int = 1) -> dict[str, Tally]:
    """Fit `runs` records with abilities of spread 0.7 and days of spread 0.4."""
    chance = np.random.default_rng(seed)
    tallies = {name: Tally() for name in CONTRASTS}
    for _ in range(runs):
        horses = dict(zip(("Bramble", "Comet", "Sorrel"), chance.normal(0, 0.7, 3), strict=True))
        riders = dict(zip(("Ida", "Jonas", "Marit", "Tess"), chance.normal(0, 0.7, 4), strict=True))
        fitted = fit(_trials(chance, horses, riders))
        assert fitted is not None
        for name, (what, one, other) in CONTRASTS.items():
            truth = horses if what == "horse" else riders
            true = truth[one] - truth[other]
            mixture = (fitted.of_horses if what == "horse" else fitted.of_riders)(one, other)
            tally = tallies[name]
            low, high = mixture.range(0.8)
            lower, higher = mixture.range(0.95)
            above = mixture.above()
            tally.runs += 1
            tally.held80 += low <= true <= high
            tally.held95 += lower <= true <= higher
            tally.ratio += mixture.ratio
            if max(above, 1 - above) >= 0.8 and mixture.ratio < 0.75:
                tally.said += 1
                tally.right += (above > 0.5) == (true > 0)
    return tallies


def _trials(
    chance: np.random.Generator, horses: dict[str, float], riders: dict[str, float]
) -> list[Trial]:
    kinds = dict(zip(KINDS, chance.normal(1.2, 0.5, len(KINDS)), strict=True))
    steep, drift = chance.normal(-0.4, 0.2), chance.normal(0.5, 0.3)
    found = []
    for horse, rider, days in PAIRS:
        for day in sorted(chance.choice(540, days, replace=False).tolist()):
            mood = chance.normal(0, 0.4)
            height = int(chance.choice([686, 762, 838]))
            odds = horses[horse] + riders[rider] + mood + drift * (day / 540 - 0.5)
            odds += steep * (height - 762) / 76.2
            for n in range(20):
                kind = KINDS[n % len(KINDS)]
                asked = bool(chance.random() < 1 / (1 + math.exp(-odds - kinds[kind])))
                found.append(Trial(asked, kind, height, day, horse, rider))
    return found


if __name__ == "__main__":
    import sys

    for name, t in simulate(int(sys.argv[1]), int(sys.argv[2])).items():
        print(
            f"{name}: held 80 {t.held80 / t.runs:.3f}, 95 {t.held95 / t.runs:.3f}, ratio "
            f"{t.ratio / t.runs:.2f}, said {t.said}, right {t.right} of {t.runs}"
        )
