"""The marks by which every figure of the trade says where it comes from, and their keys."""

from __future__ import annotations

import re

from diagram.trade.figures import data_file
from diagram.trade.limits import FILE, Limit

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


def mark_of(source: str) -> str:
    """The mark that `source` begins with, or nothing when it begins with none of them."""
    found = [mark for mark in MARKS if source.startswith(mark)]
    return max(found, key=len, default="")


_KEY = re.compile(r"\[([A-Z]\d+)\]")


def keys_in(text: str) -> tuple[str, ...]:
    """The source keys that stand in `text`: ``[S1]`` gives ``S1``."""
    return tuple(_KEY.findall(text))


def source_names() -> tuple[tuple[str, str], ...]:
    """Every source key with the name that a reader can make sense of."""
    names: dict[str, str] = data_file("sources").plain()["sources"]
    return tuple(names.items())


def all_limits() -> tuple[Limit, ...]:
    """Every figure that a check judges by, in the order of the file."""
    return tuple(
        Limit(rule, name) for rule, named in data_file(FILE).plain().items() for name in named
    )
