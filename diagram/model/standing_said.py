"""Phrases of where fences stand: from another, on a line, to each other, moved."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import Any

from diagram.model.meant import ARRANGED, LINES, MOVES, PLACES, meant
from diagram.model.phrases import (
    Clause,
    PhraseError,
    clauses,
    length,
    read_phrase,
    said_otherwise,
)
from diagram.model.ride_grammar import LENGTH, STRIDES, TURNED, strides_of
from diagram.model.ride_otherwise import ARRANGED_OTHERWISE
from diagram.model.said import ArrangedSaid, MovedSaid, OnSaid, PlacedSaid
from diagram.units import UnitError

_BEYOND = re.compile(
    rf"(?:{STRIDES}(?: at (?=\d)|(?= (?:beyond|after|past))))?(?:{LENGTH})?"
    r" (?:beyond|after|past) (?P<fence>.+)$",
    re.IGNORECASE,
)

_FROM = re.compile(
    r"(?P<far>.+?) (?:away )?(?:from|off|behind|out of|on from) (?P<fence>.+)$", re.IGNORECASE
)
"""How far a fence stands from another, in words that do not say on which side."""


def read_placed(text: str) -> PlacedSaid:
    """``5 strides beyond birch``, ``21 m beyond birch from behind, turned left 45°``."""
    first, match = _beyond(text)
    if match is None:
        raise PhraseError(f'"{text}" is not understood here', _placed_hint(text, first))
    name, behind = match["fence"], False
    if name.endswith(" from behind"):
        name, behind = name.removesuffix(" from behind"), True
    measured = strides_of(match) if match["number"] or match["bounce"] else {}
    measured |= {"length": length(match)} if match["length"] else {}
    end = first.start + len(first.text)
    rest = " " * end + text[end:]
    more = read_phrase(rest, TURNED) if rest.strip(" ,") else {}
    return PlacedSaid(name, **{"from_behind": behind, **measured, **more})


def _beyond(text: str) -> tuple[Clause, re.Match[str] | None]:
    """The first clause, and how far beyond which fence it says to stand, if it does."""
    first = next(iter(clauses(text)), Clause("", 0))
    match = _BEYOND.fullmatch(first.text)
    far = match and (match["number"] or match["bounce"] or match["length"])
    return first, match if far else None


def _placed_hint(text: str, first: Clause) -> str:
    far = _FROM.fullmatch(first.text)
    if _BESIDE.search(text):
        return (
            "a place that is not straight beyond a fence is said in lengths: at: [18 m, 8 m]; "
            "or by "
            "how they stand: `arrange: birch parallel to elm`"
        )
    if far is not None and _BEYOND.fullmatch(beyond := f"{far['far']} beyond {far['fence']}"):
        return f"write: {beyond}"
    hint = meant(text, PLACES, lambda said: _beyond(said)[1] is not None)
    return hint or "write: 5 strides beyond birch, turned left 45°"


_BESIDE = re.compile(
    r"\b(?:left|right|side) of\b|\b(?:beside|next to|opposite|level with|between)\b", re.IGNORECASE
)


_IN = re.compile(rf"{LENGTH} in(?:side)?(?: from)?(?: the)? (?P<side>.+)", re.IGNORECASE)
_BETWEEN = re.compile(
    r"(?:the )?(?:diagonal|line)(?: from)? (?P<one>.+?) to (?P<other>.+)", re.IGNORECASE
)
_QUARTER = re.compile(
    r"(?:the )?quarter line(?: (?:near|by) (?:the )?(?P<side>.+))?", re.IGNORECASE
)
_NAMED = re.compile(r"(?:the )?(?P<line>(?:short )?centre line|diagonal)", re.IGNORECASE)
ON_EXAMPLES = (
    "centre line; short centre line; quarter line; quarter line near bottom; diagonal; "
    "diagonal K to M; 5 m in from bottom"
)


def read_on(text: str) -> OnSaid:
    """``centre line``, ``quarter line near bottom``, ``diagonal K to M``, ``5 m in from left``."""
    said = text.strip()
    if match := _NAMED.fullmatch(said):
        return OnSaid(match["line"].lower())  # type: ignore[arg-type]
    if match := _QUARTER.fullmatch(said):
        return OnSaid("quarter line", side=match["side"])
    if match := _BETWEEN.fullmatch(said):
        return OnSaid("marks", marks=(match["one"], match["other"]))
    if match := _IN.fullmatch(said):
        return OnSaid("side", side=match["side"], inset=length(match))
    hint = meant(said, LINES, _is_on) or _misspelt_line(said) or f"you may say: {ON_EXAMPLES}"
    if re.search(r"\boutside\b", said, re.IGNORECASE):
        hint = "write on: 5 m in from bottom; or beside fences: arrange: birch on an outside line"
    raise PhraseError(f'"{said}" is no line to stand on', hint)


def _misspelt_line(said: str) -> str:
    plain = re.sub(r"^(?:along|down|on|the|a) ", "", said.lower())
    close = get_close_matches(plain, ("centre line", "quarter line", "diagonal"), n=1, cutoff=0.75)
    return f"write `{close[0]}`" if close else ""


def _is_on(text: str) -> bool:
    return any(known.fullmatch(text) for known in (_NAMED, _QUARTER, _BETWEEN, _IN))


_TURNED_TO = re.compile(r"(?P<one>.+) (?P<how>parallel|square) to (?P<other>.+)", re.IGNORECASE)
_MIRRORS = re.compile(r"(?P<one>.+) mirrors (?P<other>.+?) over (?P<line>.+)", re.IGNORECASE)
_AS_FAR = re.compile(r"(?P<a>.+?) to (?P<b>.+?) as far as (?P<c>.+?) to (?P<d>.+)", re.IGNORECASE)
_SHAPED = re.compile(
    r"(?P<names>.+?) (?P<how>on an? circle|in an? (?:box|serpentine|fan|s)|on an? outside line"
    rf"|on (?:a|the) diagonal(?: line)?)(?: {LENGTH})?(?: by (?:the )?(?P<side>[^,]+))?"
    r"(?:, (?:on the )?(?P<rein>left|right) rein)?",
    re.IGNORECASE,
)
FEWEST = {"in an s": 3, "in a box": 4, "in a serpentine": 2, "in a fan": 3, "on a circle": 2}
"""Fewest fences that make a shape."""
ARRANGED_EXAMPLES = (
    "birch parallel to elm; birch square to elm; birch mirrors elm over the centre line; "
    "birch to hazel as far as elm to oak; birch, elm, ash, oak on a circle 20 m; "
    "birch, elm, ash in a serpentine; birch, elm on an outside line by left, left rein; "
    "birch, elm on the diagonal"
)


def read_arranged(text: str) -> ArrangedSaid:
    """``birch parallel to elm``, ``birch mirrors elm over the centre line``, and so on."""
    said = text.strip()
    if (found := _arranged(said)) is not None:
        return found
    hint = said_otherwise(said, ARRANGED_OTHERWISE) or meant(said, ARRANGED, _is_arranged)
    message = f'"{said}" is not understood here'
    raise PhraseError(message, hint or f"you may say: {ARRANGED_EXAMPLES}")


def _arranged(said: str) -> ArrangedSaid | None:
    if match := _SHAPED.fullmatch(said):
        return _shape(match)
    if match := _AS_FAR.fullmatch(said):
        return ArrangedSaid("as far", (match["a"], match["b"], match["c"], match["d"]))
    if match := _MIRRORS.fullmatch(said):
        over = read_on(match["line"])
        if over.line in ("quarter line", "diagonal"):
            raise PhraseError(
                f"which {over.line} is meant?", "name a line from one mark to another"
            )
        return ArrangedSaid("mirrored", (match["one"], match["other"]), over)
    if match := _TURNED_TO.fullmatch(said):
        how: Any = match["how"].lower()
        return ArrangedSaid(how, (match["one"], match["other"]))
    return None


def _is_arranged(text: str) -> bool:
    try:
        return _arranged(text) is not None
    except (PhraseError, UnitError):
        return False


def _shape(match: re.Match[str]) -> ArrangedSaid:
    how: Any = re.sub(r"^(on|in) (an?|the) ", "", match["how"].lower())
    how = "diagonal" if how == "diagonal line" else how
    article = {"s": "in an", "outside line": "on an", "circle": "on a", "diagonal": "on a"}
    how = f"{article.get(how, 'in a')} {how}"
    names = tuple(name for name in re.split(r"\s*,\s*|\s+and\s+", match["names"].strip()) if name)
    on_line = how in ("on an outside line", "on a diagonal")
    if len(set(names)) < len(names):
        raise PhraseError("a fence is named twice", "name each fence once")
    if len(names) < FEWEST.get(how, 1) or (how == "in a box" and len(names) > 4):
        raise PhraseError(f"these are not fences enough {how}", f"you may say: {ARRANGED_EXAMPLES}")
    sized = match["length"] if "length" in match.re.groupindex else None
    if on_line and sized:
        raise PhraseError(f"{how} has no size", "leave the length out")
    if not on_line and (match["side"] or match["rein"]):
        raise PhraseError(f"{how} has no side and no rein", "leave them out")
    rein: Any = match["rein"].lower() if match["rein"] else None
    return ArrangedSaid(how, names, None, length(match) if sized else None, match["side"], rein)


_MOVED = re.compile(
    rf"(?:(?P<fence>.+?) )?{LENGTH} (?P<way>left|right|forward|back)", re.IGNORECASE
)
_AS_IT_FACES = "; left, right, forward and back are as the fence faces"
FURTHEST_MOVED_M = 100.0
MOVED_EXAMPLES = "rowan 2 steps left; rowan 1 m back, 3' right"


def read_moved(text: str) -> MovedSaid:
    """``rowan 2 steps left``, ``rowan 1 m back, 3' right``: as the fence faces."""
    found = _moved(text)
    if found is None:
        hint = meant(text, MOVES, _is_moved, digits=True) or f"you may say: {MOVED_EXAMPLES}"
        raise PhraseError(f'"{text}" is not understood here', f"{hint}{_AS_IT_FACES}")
    return found


_NO_NAME = re.compile(r"^move | (?:by|to|and)$", re.IGNORECASE)
"""What is taken for a part of the name of a fence where other words stand round it."""


def _moved(text: str) -> MovedSaid | None:
    name, ahead, left = "", 0.0, 0.0
    for clause in clauses(text):
        match = _MOVED.fullmatch(clause.text.strip())
        if match is None or bool(match["fence"]) == bool(name):
            return None
        name = name or match["fence"]
        if _NO_NAME.search(name):
            return None
        metres, way = length(match), match["way"].lower()
        if metres > FURTHEST_MOVED_M:
            raise PhraseError(f"{match['length']} is out of any arena", "check the unit")
        ahead += {"forward": metres, "back": -metres}.get(way, 0.0)
        left += {"left": metres, "right": -metres}.get(way, 0.0)
    return MovedSaid(name, ahead, left) if name else None


def _is_moved(text: str) -> bool:
    try:
        return _moved(text) is not None
    except (PhraseError, UnitError):
        return False
