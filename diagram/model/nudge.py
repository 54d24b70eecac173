"""A label moved by hand: ``5 mm right, 3 mm up``, millimetres on the paper."""

from __future__ import annotations

import re

from msgspec import Struct

from diagram.model.phrases import Grammar, PhraseError, read_phrase

FURTHEST_MM = 200.0


class Nudge(Struct, frozen=True):
    """Millimetres on the paper from where the label would stand if nothing were in its way."""

    right_mm: float = 0.0
    down_mm: float = 0.0


def _amount(match: re.Match[str]) -> float:
    value = float(match["amount"])
    if value > FURTHEST_MM:
        raise PhraseError(f"{value:g} mm is off any page", f"{FURTHEST_MM:g} mm is the most")
    return value


AMOUNT = r"(?P<amount>\d+(?:\.\d+)?) ?mm"
NUDGE: Grammar = {
    rf"{AMOUNT} (?P<way>right|left)": (
        "5 mm right",
        lambda m: {"right_mm": _amount(m) * (1 if m["way"].lower() == "right" else -1)},
    ),
    rf"{AMOUNT} (?P<way>up|down)": (
        "3 mm up",
        lambda m: {"down_mm": _amount(m) * (1 if m["way"].lower() == "down" else -1)},
    ),
}


def read_nudge(text: str) -> Nudge:
    """``5 mm right, 3 mm up``. Raises PhraseError."""
    return Nudge(**read_phrase(text, NUDGE))
