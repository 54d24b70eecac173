"""A fence said on its own line in words, ``oak: vertical 3', facing gate``, as the keys of a block.

Before the first comma stand the kind and its height (and spread): ``oxer 3' x 3'6"``. After it may
stand what a block says under keys of its own. What a key may hold is judged where blocks are.
"""

from __future__ import annotations

import re
from typing import Any

from diagram.diagnostics import near
from diagram.model.meant import FENCES, meant, reads_as_length
from diagram.model.phrases import NUMBER, Clause, PhraseError, clauses, count_said, said_otherwise

EXAMPLES = "vertical; oxer 3' x 3'6\"; plank 2'6\", on centre line; wall, facing gate"
"""Fences in words, as hints and the schema show them."""

AFTER = "write `{} beyond birch`, the fence that it comes after; in a combination it is an element"
MOST_IN_A_ROW = 40
"""More are no row of poles; how many may be is judged where elements are."""

_LENGTH = (
    r"\d[\d.,\s½¼¾/]*(?:''|['’′\"″]|(?:feet|ft|cm|mm|m|in)(?!\w))"
    r"(?:\s*\d[\d\s½¼¾/]*(?:''|[\"″]|in(?!\w)|(?=\s+[a-z×]|\s*$)))?"
)
_SIZE = rf"(?P<height>{_LENGTH})(?:\s*(?:x|×|by)\s*(?P<spread>{_LENGTH}))?"
_KIND = r"(?P<kind>[^\W\d_](?:[^\d]*[^\W\d_])?)"
_ROW = re.compile(
    rf"{NUMBER} (?P<kind>[a-z][a-z -]+?)s?"
    r"(?: (?P<apart>\d.*) apart)?",
    re.IGNORECASE,
)
_HEADS = (
    rf"(?:an? |the )?{_KIND}",
    rf"(?:an? |the )?{_KIND} (?:of|at) {_SIZE}",
    rf"(?:an? |the )?{_KIND} {_SIZE}",
    rf"(?:an? )?{_SIZE} {_KIND}",
)
_KEYS = (
    (r"(?P<value>along|across)", "facing"),
    (r"facing (?P<value>.+)", "facing"),
    (r"(?:stands )?on (?:the |an? )?(?P<value>.+)", "on"),
    (r"(?:with )?(?:an? )?ground ?lines? (?:on )?(?P<value>.+)", "ground line"),
    (r"raised (?:at |on )?(?:the )?(?P<value>.+)", "raised"),
    (r"front (?:pole )?(?P<value>\d.*)", "front"),
    (rf"(?P<value>{_LENGTH}) poles", "poles"),
    (r"filler (?P<value>.+)", "filler"),
    (r"after (?P<value>.+)", "after"),
    (r"(?P<value>\d.* (?:beyond|after|past) .+)", "placed"),
    (r"(?P<value>\d.* in(?:side)?(?: from)? .+)", "on"),
    (r"at (?P<value>.+)", "at"),
)


def fence_in_words(text: str, element: bool = False) -> dict[str, Any]:
    """The keys of a fence's block and their values as written. Raises PhraseError.

    Only an `element` of a combination comes after another.
    """
    try:
        return _keys(text, element)
    except PhraseError as problem:
        if not text.strip():
            raise
        if problem.hint != f"you may say: {EXAMPLES}" and not _TIMES.search(text):
            raise
        hint = meant(text, FENCES, lambda said: _is_fence(said, element)) or said_otherwise(
            text, FENCES_OTHERWISE
        )
        message = "how far is one from the next?" if _TIMES.search(text) else problem.message
        hint = hint or problem.hint
        raise PhraseError(message, hint, problem.start, problem.length) from None


_TIMES = re.compile(r"(?:poles?|cavall?etti) x ?\d+\b", re.IGNORECASE)
TOGETHER = (
    "fences with strides between are elements: "
    '`{kind: double, elements: [vertical, "vertical, after 1 stride"]}`'
)
FENCES_OTHERWISE = {
    r"\b(?:strides?|bounce)\b": TOGETHER,
    r"\b(?:left|right|side|front) of\b|\b(?:beside|next to|behind|before)\b": "say how far it is "
    "beyond the other: `vertical, 5 strides beyond birch`; or the place in lengths: "
    "`{kind: vertical, at: [18 m, 8 m]}`",
    r"\bat \d": "a place in lengths is a key of its own: `{kind: vertical, at: [18 m, 8 m]}`",
}
"""What is said of a fence in words that is no such word, and what to write."""


def _is_fence(text: str, element: bool) -> bool:
    try:
        return bool(_keys(text, element))
    except PhraseError:
        return False


def _keys(text: str, element: bool) -> dict[str, Any]:
    parts = clauses(text)
    if not parts:
        raise PhraseError("nothing is said here", f"you may say: {EXAMPLES}")
    said, rest = _row(parts) or (_head(parts[0], element), parts[1:])
    for clause in rest:
        key, value = _more(clause)
        if key == "after" and not element:
            raise clause.error(f'"{clause.text}": after which fence?', AFTER.format(value))
        if key in said:
            raise clause.error(f'"{clause.text}" says again what was said before', "say one")
        said[key] = value
    return said


def _head(clause: Clause, element: bool) -> dict[str, Any]:
    for pattern in _HEADS:
        match = re.fullmatch(pattern, clause.text, re.IGNORECASE)
        found = {k: v.strip() for k, v in match.groupdict().items() if v} if match else {}
        if found and all(
            reads_as_length(found[key]) for key in ("height", "spread") if key in found
        ):
            return {**found, "kind": " ".join(found["kind"].split()).lower()}
    bare = _BARE.search(clause.text)
    if bare:
        raise PhraseError(f"'{bare[0]}' has no unit", "write 18 in, 3' or 90 cm",
                          clause.start + bare.start(), len(bare[0]))  # fmt: skip
    said = _wants_comma(clause.text, element)
    hint = f"write `{said}`, with a comma" if said else f"you may say: {EXAMPLES}"
    raise clause.error(f'"{clause.text}" is not understood here', hint)


def _wants_comma(text: str, element: bool) -> str:
    """A clause as two, with the comma that was left out; nothing where that does not help."""
    for space in re.finditer(" +", text):
        first, second = text[: space.start()], text[space.end() :]
        try:
            _head(Clause(first, 0), element)
            key, value = _more(Clause(second, 0))
        except PhraseError:
            continue
        if key == "after" and not element:
            return f"{first}, {value} beyond birch"
        return f"{first}, {second}"
    return ""


_BARE = re.compile(r"(?<![\w.,'])\d+(?:\.\d+)?$")
"""A height with no unit, at the end of what is said."""


def _row(parts: list[Clause]) -> tuple[dict[str, Any], list[Clause]] | None:
    """``4 trot poles, 4'6" apart``: several of a kind, one after another."""
    match = _ROW.fullmatch(parts[0].text)
    if match is None or parts[0].text.lower().startswith(("one ", "no ", "1 ")):
        return None
    words = match["number"].lower()
    count = count_said(words)
    kind = " ".join(match["kind"].lower().split())
    kind = "ground pole" if kind in ("trot pole", "canter pole", "walk pole", "pole") else kind
    apart, rest = match["apart"], parts[1:]
    if apart is None and rest and (more := re.fullmatch(r"(\d.*) apart", rest[0].text)):
        apart, rest = more[1], rest[1:]
    if apart is None or not reads_as_length(apart):
        hint = f"write {words} {match['kind'].lower()}s, 4'6\" apart"
        raise parts[0].error("how far is one from the next?", hint)
    others = [{"kind": kind, "after": apart}] * min(count - 1, MOST_IN_A_ROW)
    return {"kind": "combination", "elements": [{"kind": kind}, *others]}, rest


def _more(clause: Clause) -> tuple[str, str]:
    for pattern, key in _KEYS:
        match = re.fullmatch(pattern, clause.text, re.IGNORECASE)
        if match:
            return key, match["value"].strip()
    words = ["facing", "on", "ground line", "raised", "front", "filler", "at", "after"]
    hint = near(clause.text.split()[0], words)
    hint = hint if hint.startswith("did you mean") else f"you may say: {EXAMPLES}"
    raise clause.error(f'"{clause.text}" is not understood here', hint)


_FROM_A_FENCE = re.compile(r"\d.* (?:beyond|after|past) .+", re.IGNORECASE)
_FROM_A_SIDE = re.compile(r"\d.* in(?:side)?(?: from)? .+", re.IGNORECASE)


def with_place(block: dict[str, Any]) -> dict[str, Any]:
    """The block with what ``at`` says of another fence, or of a side, under the key for that."""
    at = block.get("at")
    if not isinstance(at, str):
        return block
    for pattern, key in ((_FROM_A_FENCE, "placed"), (_FROM_A_SIDE, "on")):
        if pattern.fullmatch(at.strip()) and key not in block:
            return {key if name == "at" else name: value for name, value in block.items()}
    return block


def spelled(fences: dict[str, Any]) -> dict[str, Any]:
    """Blocks for all fences, those in words (and elements in words) spelled out in keys.

    Raises PhraseError for words that are not understood.
    """
    out = {}
    for name, said in fences.items():
        block = with_place(fence_in_words(said) if isinstance(said, str) else said)
        if "elements" in block:
            elements = [
                fence_in_words(e, True) if isinstance(e, str) else e for e in block["elements"]
            ]
            block = {**block, "elements": elements}
        out[name] = block
    return out
