"""A figure of the trade, and the mark that says where it comes from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from diagram.source import Document, read

DATA = Path(__file__).parent / "data"
"""Where the data files of the trade stand."""

PUBLISHED = (
    "published (rule)",
    "published (rule, 2nd-hand)",
    "published (handbook)",
    "published (handbook, 2nd-hand)",
    "published (paper)",
    "published (data)",
    "published (web article)",
)
COMMON_PRACTICE = "common practice (no source)"
FROM_MEMORY = "from memory (unverified)"
DERIVED = "derived"
MARKS = (*PUBLISHED, COMMON_PRACTICE, FROM_MEMORY, DERIVED)
"""Every source mark begins with one of these. What follows names the source for a reader."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: metres, metres per second, radians, or a count or share without a unit."""

    value: float
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with its lowest, usual and highest value. Units as for `Figure`."""

    low: float
    typical: float
    high: float
    source: str
    note: str = ""


def mark_of(source: str) -> str:
    """The mark that `source` begins with, or nothing when it begins with none of them."""
    found = [mark for mark in MARKS if source.startswith(mark)]
    return max(found, key=len, default="")


_KEY = re.compile(r"\[([A-Z]\d+)\]")


def keys_in(text: str) -> tuple[str, ...]:
    """The source keys that stand in `text`: ``[S1]`` gives ``S1``."""
    return tuple(_KEY.findall(text))


@cache
def data_file(name: str) -> Document:
    """One of the data files of the trade, by its file name without ``.yaml``."""
    return read(DATA / f"{name}.yaml")


@lru_cache(maxsize=1)
def source_names() -> tuple[tuple[str, str], ...]:
    """Every source key with the name that a reader can make sense of."""
    names: dict[str, str] = data_file("sources").plain()["sources"]
    return tuple(names.items())
