"""A number with no unit where a length is wanted: in which units it makes sense there."""

from __future__ import annotations

import re
from functools import lru_cache

from diagram.source import Document
from diagram.units import FOOT, INCH

BARE = re.compile(r"'(?P<number>(?:\d+(?:\.\d+)? x )?\d+(?:\.\d+)?)' has no unit$")
"""What is said of it, wherever it is found."""

_FEET = re.compile(r"\d ?(?:'|\"|ft\b|in\b|feet\b)")
_METRES = re.compile(r"\d ?(?:m|cm)\b")
_NOT_OF_FENCES = re.compile(r"^\s*arena:.*$", re.MULTILINE)
LOWEST_M, HIGHEST_M = 0.1, 1.8
"""Metres between which the measures of a fence of an exercise lie (common practice)."""
MEASURES = ("height", "front", "spread", "level")
_FEET_AND = re.compile(r"(?P<feet>[1-9])\.(?P<inches>[369])")
"""Feet with a point before the inches: 2.6 is said of two foot six (common practice). What is said
of tenths of a foot is no height that cups are hung at."""
UNITS = (("'", FOOT, False), (" in", INCH, False), (" cm", 0.01, True), (" m", 1.0, True))
"""How a length is written, its metres, and whether it is metric."""


def bare_hint(number: str, key: str, document: Document) -> str:
    """What to write for a `number` under a `key`: what can be the measure of a fence, that in the
    units of the file first. Nothing for other keys."""
    if key not in MEASURES:
        return ""
    metric = bool(in_metres(document.text))
    sane = [
        (of_metres != metric, _written(number, unit))
        for unit, metres, of_metres in UNITS
        if LOWEST_M <= float(number) * metres <= HIGHEST_M
    ]
    return "write " + " or ".join(text for _, text in sorted(sane, key=lambda s: s[0])) if sane \
        else "write a length with its unit, like 2'6\" or 0.80 m"  # fmt: skip


def _written(number: str, unit: str) -> str:
    """A bare number with a unit; feet and three, six or nine inches as they are written."""
    match = _FEET_AND.fullmatch(number)
    if unit == "'" and match:
        return f"{match['feet']}'{match['inches']}\""
    return f"{number}{unit}"


@lru_cache(maxsize=8)
def in_metres(text: str) -> bool | None:
    """Whether most lengths of a file but its arena are metric; None where it has as many of both,
    or none."""
    said = _NOT_OF_FENCES.sub("", text)
    metric, feet = len(_METRES.findall(said)), len(_FEET.findall(said))
    return None if metric == feet else metric > feet
