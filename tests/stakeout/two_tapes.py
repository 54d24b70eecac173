"""The error of a place where two tapes cross, by the textbook: what the leaf is held against."""

from __future__ import annotations

import math


def expected_error(angle: float, tape_error: float) -> float:
    """Root mean square metres by which the place is missed; infinity for parallel tapes."""
    sine = math.sin(angle)
    return math.inf if sine < 1e-12 else tape_error * math.sqrt(2) / sine
