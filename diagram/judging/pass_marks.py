"""A pass mark in the few words that a column of an observation sheet has room for."""

from __future__ import annotations

import re
import textwrap


def clauses(text: str) -> tuple[str, ...]:
    """A pass mark from its first clause to the whole, each one clause longer than the last.

    Without full stops at the end, and with a small first letter, since a box stands before it.
    """
    whole = text.strip().rstrip(".")
    ends = [m.start() for m in re.finditer(r"[.;:,]\s|\s(?:and|with|without)\s", whole)]
    cuts = [*(whole[:end] for end in ends), whole]
    return tuple(f"{cut[:1].lower()}{cut[1:]}" for cut in cuts if cut)


def lines_of(text: str, characters: int) -> int:
    """Lines of so many characters that a text takes, broken between words."""
    return len(textwrap.wrap(text, characters))
