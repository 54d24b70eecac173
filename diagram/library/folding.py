"""Words as a search compares them: without marks, without capitals, with one kind of apostrophe.

The page of a library does the same to what is typed (`fold` in its script); a test holds the two
against each other.
"""

from __future__ import annotations

import unicodedata


def fold(text: str) -> str:
    """`text` decomposed, its marks off, in lower case."""
    apart = unicodedata.normalize("NFD", text)
    bare = "".join(c for c in apart if not "̀" <= c <= "ͯ")
    return bare.lower().replace("’", "'")


def stem_in_ascii(stem: str) -> str:
    """A file name of small letters, digits and dashes; empty where nothing of the stem is left."""
    apart = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    kept = "".join(c if c.isalnum() else "-" for c in apart)
    return "-".join(part for part in kept.split("-") if part)[:80]
