"""What an exercise says of itself for a library: the words that may stand there, and how read.

The groups are those that exercises are filed under. A range of heights is two lengths in
metres, and poles on the ground are a height of nothing.
"""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import WithJsonSchema

from diagram.diagnostics import near
from diagram.model.fields import said
from diagram.units import UnitError, parse_length

GROUPS = (
    "straightness", "adjustability", "bending lines", "rollbacks and turns", "angles", "grids",
    "poles", "leads and changes", "transitions", "related distances", "first courses",
    "tests for the next height",
)  # fmt: skip
"""What an exercise may teach, in the order of a library that says no other."""

SUITS = ("horses", "ponies", "green horses", "green riders")
"""Whom an exercise may be for. Left out, it is for the horses it is drawn for."""

TALLEST_M = 2.5
"""Metres. Nobody jumps higher (from memory); a height above it is a slip of the pen."""
LONGEST_ROUND_MIN = 60.0


def _one_of(text: str, known: tuple[str, ...], what: str) -> str:
    word = " ".join(text.lower().split())
    if word not in known:
        raise UnitError(f"{text!r} is not {what}", near(word, known))
    return word


def read_group(text: str) -> str:
    """One of the GROUPS. Raises UnitError."""
    return _one_of(text, GROUPS, "one of the groups")


def read_suits(text: str) -> str:
    """One of SUITS. Raises UnitError."""
    return _one_of(text, SUITS, "said of whom an exercise suits")


_STEM = re.compile(r"[^\W_][\w. -]*", re.UNICODE)


def read_stem(text: str) -> str:
    """The name of another exercise's file, without its ending. Raises UnitError."""
    stem = re.sub(r"\.ya?ml$", "", text.strip())
    if not _STEM.fullmatch(stem) or len(stem) > 100:
        raise UnitError(
            f"{text!r} is not the name of a file", "write it without folder and ending: fan-of-two"
        )
    return stem


def read_heights(text: str) -> tuple[float, float]:
    """Lowest and highest fence in metres, of ``2' - 2'9"``, ``2'6"`` or ``poles - 1'6"``.

    Raises UnitError.
    """
    ends = [part.strip() for part in re.split(r"\s+(?:-|–|to)\s+", text.strip())]
    if len(ends) > 2:
        raise UnitError(f"{text!r} is not a range of heights", "write 2' - 2'9\"")
    metres = [0.0 if end.lower() == "poles" else parse_length(end) for end in ends]
    low, high = metres[0], metres[-1]
    if low > high:
        raise UnitError("the lower height stands first", f"write {ends[-1]} - {ends[0]}")
    if high > TALLEST_M:
        raise UnitError(f"{ends[-1]} is no height for a fence", "write feet as 2'6\"")
    return low, high


def read_minutes(text: str) -> float:
    """Minutes of ``2``, ``1.5``, ``2 min`` or ``90 s``. Raises UnitError."""
    match = re.fullmatch(r"(\d{1,4}(?:\.\d{1,3})?)\s*(min|minutes?|s|seconds)?", text.strip())
    hint = "write 2, 1.5 min or 90 s"
    if not match:
        raise UnitError(f"{text!r} is not a time", hint)
    minutes = float(match[1]) / (60.0 if (match[2] or "").startswith("s") else 1.0)
    if not 0.0 < minutes <= LONGEST_ROUND_MIN:
        raise UnitError(f"a round of {text} is not ridden", hint)
    return minutes


def chosen_from(words: tuple[str, ...]) -> WithJsonSchema:
    """A schema that lets an editor offer the words."""
    return WithJsonSchema({"type": "string", "enum": list(words)})


Group = Annotated[str, said(read_group, "a group", GROUPS[0])[0], chosen_from(GROUPS)]
Suits = Annotated[str, said(read_suits, "whom it suits", SUITS[0])[0], chosen_from(SUITS)]
Stem = Annotated[str, *said(read_stem, "the file of another exercise", "fan-of-two")]
Heights = Annotated[
    tuple[float, float], *said(read_heights, "heights from low to high", "2' - 2'9\"")
]
Minutes = Annotated[float, *said(read_minutes, "minutes", "1.5 min")]
