"""Blunders among tapes: read off wrongly, held to the wrong foot, written down wrongly.

W. Baarda, *A testing procedure for use in geodetic networks* (Netherlands Geodetic Commission,
1968), known as data snooping: if only one tape is wrong, its standardised residual is normal
with a mean that is not 0. The largest is tested against CRITICAL; a tape that fails is left out
and the rest is adjusted anew, until none fails. What was left out in haste is put back.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from msgspec import Struct

from diagram.survey.adjustment import TESTABLE, Adjustment
from diagram.survey.network import Tape
from diagram.survey.slips import slip_of

CRITICAL = 3.29
"""A sound tape fails once in a thousand times: Baarda's level of significance of 0.1 %."""

AFTER_ONE = 4.1
"""The same for a tape beside one that is left out already: a second slip on one sheet is rare, and
among thirty tapes 3.29 is passed by a sound one three times in a hundred. A sound one of thirty
passes this once in 800."""

TELLING = 6.0
"""By so much more must one tape explain of vᵀPv than another to be named alone: it is then 20 times
as likely (exp(6 / 2)), so that a sound one is accused in its place less than one time in 20."""

Adjuster = Callable[[Sequence[Tape]], Adjustment]


class Blunder(Struct, frozen=True):
    """A tape that does not agree with the others.

    `number` is its place among the tapes. `error_m` is how much longer it reads than it should.
    `or_else` are the numbers of tapes that might as well be the wrong one in its place.
    """

    number: int
    error_m: float
    or_else: tuple[int, ...] = ()


class Snooped(Struct, frozen=True):
    """Tapes that agree, adjusted, and those that were left out. `kept` are numbers of tapes in
    the order in which they stand in the adjustment."""

    adjustment: Adjustment
    kept: tuple[int, ...]
    blunders: tuple[Blunder, ...]


def snoop(tapes: Sequence[Tape], adjusted: Adjuster) -> Snooped:
    """Adjust `tapes` without those that are wrong."""
    kept = list(range(len(tapes)))
    out: list[Blunder] = []
    found = adjusted([tapes[n] for n in kept])
    while (worst := _worst(found, AFTER_ONE if out else CRITICAL)) is not None:
        blunder = _blunder(found, worst, kept, tapes)
        out.append(blunder)
        kept.remove(blunder.number)
        found = adjusted([tapes[n] for n in kept])
    for blunder in list(out):
        # Beside a larger blunder a sound tape may have looked wrong.
        tried = sorted([*kept, blunder.number])
        again = adjusted([tapes[n] for n in tried])
        if len(out) > 1 and _worst(again, AFTER_ONE) is None:
            out.remove(blunder)
            kept, found = tried, again
    return Snooped(found, tuple(kept), tuple(_measured(b, tapes, kept, adjusted) for b in out))


def _worst(found: Adjustment, critical: float) -> int | None:
    """The observation that fails the test by most, or None."""
    sizes = np.abs(found.standardised)
    if not len(sizes) or found.freedom < 1 or float(sizes.max()) <= critical:
        return None
    return int(sizes.argmax())


def _blunder(found: Adjustment, worst: int, kept: list[int], tapes: Sequence[Tape]) -> Blunder:
    """The one that is wrong, and those that explain the disagreement about as well.

    To leave out tape i makes vᵀPv smaller by w_i²: twice the logarithm of how much likelier the
    rest becomes. Of those that explain it about as well, one whose error would be a slip of the
    trade is taken before one whose error would be no round figure.
    """
    gains = found.standardised**2
    alike = [
        n
        for n in range(len(kept))
        if gains[n] > CRITICAL**2 and gains[worst] - gains[n] < CRITICAL**2
    ]
    slipped = [n for n in alike if _is_slip(found, n, tapes[kept[n]])]
    if len(slipped) == 1:
        return Blunder(kept[slipped[0]], 0.0)
    others = [kept[n] for n in alike if n != worst and gains[worst] - gains[n] < TELLING]
    return Blunder(kept[worst], 0.0, tuple(others))


def _is_slip(found: Adjustment, n: int, tape: Tape) -> bool:
    """Whether the error that a tape would have, if it alone were wrong, is one of the usual ones.

    That error is -v / r, with the standard error s / sqrt(r).
    """
    r = float(found.redundancy[n])
    if r <= TESTABLE:
        return False
    error, sigma = -float(found.residuals[n]) / r, float(found.sigmas[n]) / math.sqrt(r)
    return slip_of(tape.metres, tape.feet, error, sigma) is not None


def _measured(
    blunder: Blunder, tapes: Sequence[Tape], kept: Sequence[int], adjusted: Adjuster
) -> Blunder:
    """With how far it is off: its residual in an adjustment where it weighs next to nothing."""
    tape = tapes[blunder.number]
    light = Tape(tape.first, tape.second, tape.metres, tape.sigma_m * 1e4)
    found = adjusted([*(tapes[n] for n in kept), light])
    return Blunder(blunder.number, -float(found.residuals[-1]), blunder.or_else)
