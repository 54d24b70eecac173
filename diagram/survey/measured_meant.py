"""What a line of a file of tapes is likely to mean: the same as it can be written."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from diagram.diagnostics import near
from diagram.model.meant import length_meant
from diagram.units import HOW_TO_WRITE

HEAD = "write from,to,metres or from,to,feet in the first line"
_ALONE = re.compile(
    r"(?:about|approx\.?|ca\.?|roughly|~|=|-)? ?(\d+(?:\.\d+)?) ?[x?!]?", re.IGNORECASE
)
"""A number with nothing at it that could be a unit."""
_BETWEEN = re.compile(r"\b(?:to|from|and)\b|\bfoot\b(?=.*\d)|[,;:=>–-]")
_TAPED = re.compile(r"\d+(?:\.\d+)? ?(?:m|cm|ft|feet|metres)?")


def head_meant(row: str, points: Iterable[str]) -> str:
    """What to write for a first line that is no head."""
    said = row.casefold()
    if any(point.casefold() in said for point in points):
        return "put a line above it: from,to,metres or from,to,feet"
    if not {"from", "to"} <= set(re.findall(r"[a-z]+", said)):
        return HEAD
    if re.search(r"\b(?:cm|mm|in|inch|inches)\b", said):
        return "write from,to,metres, and behind each number its own unit: 1870 cm"
    if unit := re.search(r"\b(m|met(?:re|er)s?|ft|foot|feet)\b", said):
        return f"write from,to,{'metres' if unit[1].startswith('m') else 'feet'}"
    return HEAD


def line_meant(cells: list[str], points: Collection[str]) -> str:
    """What to write for a line whose points are not where they belong; nothing where they are,
    or where nothing is found."""
    named = _named(" ".join(cells), points)
    if len(named) != 2 or all(cell in points for cell in cells[:2]):
        return ""
    rest = " ".join(cells)
    for point in named:
        rest = rest.replace(point, " ", 1)
    length = " ".join(_BETWEEN.sub(" ", rest).split())
    return f"write {named[0]},{named[1]},{length}" if _TAPED.fullmatch(length) else ""


def _named(text: str, points: Collection[str]) -> list[str]:
    """The points that a text names, in its order."""
    found: dict[int, str] = {}
    for point in sorted(points, key=len, reverse=True):
        at = text.find(point)
        if at >= 0:
            found[at] = point
            text = text.replace(point, "\0" * len(point), 1)
    return [found[at] for at in sorted(found)]


def point_meant(text: str, points: Collection[str]) -> str:
    """Near misses of a point, words in another order, or all that begin so."""
    words = sorted(text.casefold().split())
    if same := next((p for p in points if sorted(p.casefold().split()) == words), ""):
        return f"write {same}"
    begin = [point for point in points if text and point.casefold().startswith(text.casefold())]
    if 1 < len(begin) < len(points):
        return "write one of " + ", ".join(begin)
    return near(text, points)


def number_meant(text: str, hint: str) -> str:
    """What to write for a length that is none; `hint` where nothing is found."""
    if hint != HOW_TO_WRITE:
        return hint
    if meant := length_meant(text):
        return meant
    number = _ALONE.fullmatch(text)
    return f"write {number[1]}" if number else hint
