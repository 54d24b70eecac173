"""Shapes said in one breath: ``serpentine of three``, ``circle of four``, ``figure of eight``.

A shape is a sentence that repeats itself; what comes of it is in words, and the fences find
their places from the strides.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from diagram.diagnostics import near
from diagram.model.phrases import NUMBER_WORDS
from diagram.writing.sentence import SentenceError

FEWEST, MOST = 2, 8


def _line(count: int) -> str:
    """Fences in one straight line, five strides and four in turn."""
    ways = ["5 strides" if n % 2 == 0 else "4 strides" for n in range(count - 1)]
    return _strung(["vertical"] * count, ways)


def _serpentine(count: int) -> str:
    """Bends to the left and to the right in turn."""
    ways = [f"bend {'left' if n % 2 == 0 else 'right'} 60° 6" for n in range(count - 1)]
    return _strung(["vertical"] * count, ways)


def _circle(count: int) -> str:
    """Fences round a circle, the first once more at the end."""
    turn = round(360 / count)
    strides = {3: 9, 4: 7, 5: 6, 6: 5}.get(count)
    if strides is None:
        raise SentenceError(f"circle of {count}", "a circle has three to six fences")
    ways = [f"bend left {turn}° {strides}"] * count
    return _strung([*["vertical"] * count, "the first again"], ways)


def _box(count: int) -> str:
    """Single fences with a turn to the left between each and the next."""
    return _strung([*["vertical"] * count, "the first again"], ["turn left"] * count)


def _eight(count: int) -> str:
    """Two fences, a turn to each hand, and the first once more."""
    if count != FEWEST:
        raise SentenceError(f"figure of eight of {count}", "a figure of eight has two fences")
    return "vertical, turn left, vertical, turn right, the first again"


SHAPES: dict[str, Callable[[int], str]] = {
    "line": _line, "serpentine": _serpentine, "circle": _circle, "box": _box,
    "figure of eight": _eight,
}  # fmt: skip


def sentence_of(shape: str) -> str:
    """A shape as the sentence that makes it. Raises SentenceError."""
    words = " ".join(shape.lower().split())
    if words in ("figure of eight", "a figure of eight"):
        return _eight(FEWEST)
    match = re.fullmatch(r"(?:an? )?(.+?) of (\w+)(?: fences)?", words)
    known = ", ".join(f"{name} of four" for name in SHAPES if name != "figure of eight")
    if not match:
        raise SentenceError(shape, f"say {known} or figure of eight")
    name, number = match.groups()
    if name not in SHAPES:
        raise SentenceError(shape, near(name, SHAPES))
    count = NUMBER_WORDS.get(number, int(number) if number.isdigit() else 0)
    if not FEWEST <= count <= MOST:
        raise SentenceError(shape, f"say a number from {FEWEST} to {MOST}")
    return SHAPES[name](count)


def _strung(fences: list[str], ways: list[str]) -> str:
    parts = [fences[0]]
    for way, fence in zip(ways, fences[1:], strict=True):
        parts += [way, fence]
    return ", ".join(parts)
