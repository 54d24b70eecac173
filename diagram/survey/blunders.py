"""Blunders among tapes: read off wrongly, held to the wrong foot, written down wrongly.

W. Baarda, *A testing procedure for use in geodetic networks* (Netherlands Geodetic Commission,
1968), known as data snooping: if only one tape is wrong, its standardised residual is normal
with a mean that is not 0. The largest is tested against CRITICAL; a tape that fails is left out
and the rest is adjusted anew, until none fails. What was left out in haste is put back.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from diagram.survey.adjustment import TESTABLE, Adjustment, Array
from diagram.survey.network import Tape

CRITICAL = 3.29
"""A sound tape fails once in a thousand times: Baarda's level of significance of 0.1 %."""

NONCENTRALITY = 4.13
"""How many standard errors of its residual a blunder must make to be found four times in five,
at that level: Baarda's power of 80 %."""

Adjuster = Callable[[Sequence[Tape]], Adjustment]


@dataclass(frozen=True, slots=True)
class Blunder:
    """A tape that does not agree with the others.

    `number` is its place among the tapes. `error_m` is how much longer it reads than it should.
    `or_else` are the numbers of tapes that might as well be the wrong one in its place.
    """

    number: int
    error_m: float
    or_else: tuple[int, ...] = ()


@dataclass(frozen=True)
class Snooped:
    """Tapes that agree, adjusted, and those that were left out. `kept` are numbers of tapes in
    the order in which they stand in the adjustment."""

    adjustment: Adjustment
    kept: tuple[int, ...]
    blunders: tuple[Blunder, ...]


def detectable(adjustment: Adjustment) -> Array:
    """For each observation the smallest blunder (m,) that would be found four times in five.

    Baarda's marginally detectable error, s_i * 4.13 / sqrt(r_i); infinite where nothing checks.
    """
    r = adjustment.redundancy
    checked = r > TESTABLE
    size = adjustment.sigmas * NONCENTRALITY / np.sqrt(np.where(checked, r, 1.0))
    return np.where(checked, size, math.inf)


def snoop(tapes: Sequence[Tape], adjusted: Adjuster) -> Snooped:
    """Adjust `tapes` without those that are wrong."""
    kept = list(range(len(tapes)))
    out: list[Blunder] = []
    found = adjusted([tapes[n] for n in kept])
    while (worst := _worst(found)) is not None:
        out.append(_blunder(found, worst, kept))
        kept.pop(worst)
        found = adjusted([tapes[n] for n in kept])
    for blunder in list(out):
        # Beside a larger blunder a sound tape may have looked wrong.
        tried = sorted([*kept, blunder.number])
        again = adjusted([tapes[n] for n in tried])
        if len(out) > 1 and _worst(again) is None:
            out.remove(blunder)
            kept, found = tried, again
    return Snooped(found, tuple(kept), tuple(_measured(b, tapes, kept, adjusted) for b in out))


def _worst(found: Adjustment) -> int | None:
    """The observation that fails the test by most, or None."""
    sizes = np.abs(found.standardised)
    if not len(sizes) or found.freedom < 1 or float(sizes.max()) <= CRITICAL:
        return None
    return int(sizes.argmax())


def _blunder(found: Adjustment, worst: int, kept: list[int]) -> Blunder:
    """The one that fails, and those that explain the disagreement about as well.

    To leave out tape i makes vᵀPv smaller by w_i². Two of them can be told apart when those
    differ by as much as the test itself asks for.
    """
    gains = found.standardised**2
    alike = [
        kept[n]
        for n in range(len(kept))
        if n != worst and gains[n] > CRITICAL**2 and gains[worst] - gains[n] < CRITICAL**2
    ]
    return Blunder(kept[worst], 0.0, tuple(alike))


def _measured(
    blunder: Blunder, tapes: Sequence[Tape], kept: Sequence[int], adjusted: Adjuster
) -> Blunder:
    """With how far it is off: its residual in an adjustment where it weighs next to nothing."""
    tape = tapes[blunder.number]
    light = Tape(tape.first, tape.second, tape.metres, tape.sigma_m * 1e4)
    found = adjusted([*(tapes[n] for n in kept), light])
    return Blunder(blunder.number, -float(found.residuals[-1]), blunder.or_else)
