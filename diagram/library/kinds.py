"""What a file of a library is: an exercise, a lesson, a stride table, or something shared.

A file is judged by its name and by the keys at its left edge, not read as YAML: a file with a
mistake in it is still an exercise, and its mistakes are to be told.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Literal

Kind = Literal["exercise", "lesson", "table", "shared", "other"]

SHARED_FILES = ("arenas.yaml", "store.yaml", "horses.yaml", "library.yaml", "rings.yaml")
"""Files that all exercises of a folder share, and those of the folders right below it."""

ENDINGS = (".yaml", ".yml")
LOOKED_AT = 64 * 1024
"""Bytes. The keys that tell a kind stand near the top."""

_KEY = re.compile(r"^([A-Za-z][\w '-]*?)\s*:(?=\s|$)", re.MULTILINE)
_OF_AN_EXERCISE = {"tapeline", "fences", "ride", "arena"}


def kind_of(path: Path) -> Kind:
    """What the regular file at `path` is. A file that cannot be opened counts as an exercise, so
    that the reason is told where exercises are read."""
    if path.name in SHARED_FILES:
        return "shared"
    try:
        with path.open("rb") as file:
            text = file.read(LOOKED_AT).decode("utf-8-sig", errors="replace")
    except OSError:
        return "exercise"
    return kind_of_text(text)


def kind_of_text(text: str) -> Kind:
    """The same from the beginning of the text. What is empty or no YAML counts as an exercise."""
    keys = set(_KEY.findall(text.replace("\r\n", "\n")))
    if "tapeline lesson" in keys:
        return "lesson"
    if "tapeline" in keys:
        return "exercise"
    if "table" in keys:
        return "table"
    if keys and not keys & _OF_AN_EXERCISE:
        return "other"
    return "exercise"
