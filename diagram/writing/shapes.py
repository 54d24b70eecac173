"""Shapes said in one breath: ``serpentine of three``, ``circle of four``, ``figure of eight``.

A shape is a sentence and the phrase that tells how its fences stand to each other; what comes of it
is in words, and the fences find their places from both. Where a ring may be too small for the first
way there are others, the largest first.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from diagram.diagnostics import near
from diagram.model.counting import NUMBER_WORDS
from diagram.writing.sentence import ORDINALS, SentenceError

FEWEST, MOST = 2, 8
FAN_DEG = 20.0
"""Degrees between two ribs of a fan, as `in a fan` places them."""
Ways = Iterator[str]


def _outside_line(count: int) -> Ways:
    """Fences one behind the other along a long side, two counts of strides in turn."""
    for first, second in ((5, 4), (4, 3), (3, 2)):
        ways = [f"{first if n % 2 == 0 else second} strides" for n in range(count - 1)]
        yield _strung(["vertical"] * count, ways, "on an outside line")


def _line(count: int) -> Ways:
    """The same, wherever there is room for it."""
    for way in _outside_line(count):
        yield way.removesuffix(", on an outside line")


def _diagonal(count: int) -> Ways:
    """The same on a diagonal."""
    for way in _outside_line(count):
        yield way.replace("an outside line", "the diagonal")


def _serpentine(count: int) -> Ways:
    """Fences side by side, a half circle to the left and to the right in turn, a new lead over
    each."""
    fences = [f"vertical landing {_hand(n)}" for n in range(count - 1)]
    ways = [f"turn {_hand(n)}" for n in range(count - 1)]
    yield "canter right lead, " + _strung([*fences, "vertical"], ways, "in a serpentine")


def _s(count: int) -> Ways:
    """Bends to the left and to the right in turn, ridden out the way they were begun."""
    if count % 2 == 0:
        raise SentenceError(f"S of {count}", "an S has three, five or seven fences")
    for angle, strides in ((60, 6), (60, 5), (45, 5), (45, 4), (30, 4)):
        fences = ["vertical", *(f"vertical landing {_hand(n)}" for n in range(1, count - 1))]
        ways = [f"bend {_hand(n)} {angle}° {strides}" for n in range(count - 1)]
        yield _strung([*fences, "vertical"], ways, "in an S" if count == 3 else "")


def _circle(count: int) -> Ways:
    """Fences evenly round a circle, the first once more at the end."""
    if not 3 <= count <= 6:
        raise SentenceError(f"circle of {count}", "a circle has three to six fences")
    for most in (28, 24, 20):
        ways = [f"bend left {round(360 / count)}° {most // count}"] * count
        yield _strung([*["vertical"] * count, "the first again"], ways, "on a circle")


def _box(count: int) -> Ways:
    """Four sides of a square: across it, round to the left, and across the other way."""
    if count != 4:
        raise SentenceError(f"box of {count}", "a box has four fences")
    for strides in (4, 3):
        across = f"{strides} strides"
        fences = ["vertical", "vertical", "vertical from behind", "vertical"]
        ways = [across, "turn left", across]
        yield _strung(fences, ways, "first, fourth, second, third in a box")


def _fan(count: int) -> Ways:
    """Ribs through the middle of the first fence: the straight one, then to each hand in turn."""
    if count not in (3, 4):
        raise SentenceError(
            f"fan of {count}", "a fan has three or four fences, the first and two or three ribs"
        )
    others = count - 1
    ribs = sorted(
        (FAN_DEG * (n - (others - 1) / 2) for n in range(others)), key=lambda rib: (abs(rib), -rib)
    )
    stand = ["first", *(ORDINALS[1 + ribs.index(rib)] for rib in sorted(ribs))]
    for strides in (5, 4, 3):
        parts: list[str] = []
        for n, rib in enumerate(ribs):
            after = ribs[n + 1] if n + 1 < others else rib
            turn = "right" if (after > 0) == (n + 1 < others) else "left"
            angled = f" angled {'left' if rib > 0 else 'right'} {abs(rib):g}°" if rib else ""
            first = "the first again" if n else "vertical"
            parts += [f"{first}{angled} landing {turn}", f"{strides} strides", "vertical"]
            parts += [f"turn {turn}"] * (n + 1 < others)
        yield ", ".join([*parts, f"{', '.join(stand)} in a fan"])


def _eight(count: int) -> Ways:
    """Two fences, a turn to each hand, and the first once more."""
    if count != FEWEST:
        raise SentenceError(f"figure of eight of {count}", "a figure of eight has two fences")
    yield "vertical landing left, turn left, vertical landing right, turn right, the first again"


SHAPES: dict[str, Callable[[int], Ways]] = {
    "line": _line, "outside line": _outside_line, "diagonal": _diagonal,
    "serpentine": _serpentine, "S": _s, "circle": _circle, "box": _box,
    "fan": _fan, "figure of eight": _eight,
}  # fmt: skip


def sentences_of(shape: str) -> list[str]:
    """A shape as the sentences that make it, the largest first. Raises SentenceError."""
    words = " ".join(shape.lower().split())
    if words in ("figure of eight", "a figure of eight"):
        return list(_eight(FEWEST))
    match = re.fullmatch(r"(?:an? )?(.+?) of (\w+)(?: fences)?", words)
    known = ", ".join(f"{name} of {_usual(name)}" for name in SHAPES if name != "figure of eight")
    if not match:
        raise SentenceError(shape, f"say {known} or figure of eight")
    name, number = match.groups()
    name = "S" if name == "s" else name
    if name not in SHAPES:
        raise SentenceError(shape, near(name, SHAPES))
    count = NUMBER_WORDS.get(number, int(number) if number.isdigit() else 0)
    if not FEWEST <= count <= MOST:
        raise SentenceError(shape, f"say a number from {FEWEST} to {MOST}")
    return list(SHAPES[name](count))


def _usual(name: str) -> str:
    return {"S": "three", "diagonal": "two", "serpentine": "three"}.get(name, "four")


def _hand(number: int) -> str:
    return "left" if number % 2 == 0 else "right"


def _strung(fences: list[str], ways: list[str], arranged: str = "") -> str:
    parts = [fences[0]]
    for way, fence in zip(ways, fences[1:], strict=True):
        parts += [way, fence]
    return ", ".join([*parts, arranged] if arranged else parts)
