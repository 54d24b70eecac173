"""Cells of CSV files: nothing that a spreadsheet would run, and nothing lost on the way back.

A text that begins with ``=``, ``+``, ``-``, ``@``, a tab or a line end is taken for a formula by
spreadsheets. It is written with an apostrophe before it; so is a text that begins with an
apostrophe itself, and an empty text where the column may also hold nothing at all.
"""

from __future__ import annotations

from typing import Any

RUN = ("=", "+", "-", "@", "\t", "\r", "\n", "'")


def cell(value: Any, *, may_be_nothing: bool = False) -> str:
    """A value as the text of a cell. Nothing (None) is an empty cell."""
    if value is None:
        return ""
    text = value if isinstance(value, str) else repr(value)
    if text.startswith(RUN) or (text == "" and may_be_nothing):
        return "'" + text
    return text


def value_of(text: str, kind: str, *, may_be_nothing: bool) -> Any:
    """What `cell` was given, for a column of `kind` (TEXT, INTEGER, REAL).

    Raises ValueError where the text is no such number.
    """
    if text == "" and may_be_nothing:
        return None
    if kind == "INTEGER":
        return int(text)
    if kind == "REAL":
        return float(text)
    return text[1:] if text.startswith("'") else text
