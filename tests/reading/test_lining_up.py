"""Lines that do not line up, and quotes that run on, are told as what they are and hide nothing."""

from __future__ import annotations

import pytest

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.exercise.read_exercise import definition_of, document_of, read_exercises

FILE = """\
tapeline: 1
title: T
purpose: P.
level: 2'6"
arena: 30 x 60 m
horses: horse
fences:
  birch: vertical
  elm: vertikal
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Sit.
  - line: 5 strides
  - jump: nobody
    purpose: Sit.
  - finish: straight on, walk
"""
ALSO = [9, 15]
"""Lines that are wrong in the file whatever else is: the kind and the fence that is not there."""


def errors(text: str) -> tuple[Diagnostic, ...]:
    try:
        document = document_of(text, "x.yaml")
        return tuple(read_exercises(document, definition_of(document))[1])
    except RejectedError as problem:
        return problem.diagnostics


@pytest.mark.parametrize(
    ("old", "new", "line", "column", "says"),
    [
        ("  elm:", "    elm:", 9, 5, "begin it after 2 blanks, where it has 4 blanks"),
        ("  - line", "   - line", 14, 4, "begin it after 2 blanks, where it has 3 blanks"),
        ("  - line", " - line", 14, 2, "begin it after 2 blanks, where it has 1 blank"),
        ("  - line", "- line", 14, 1, "begin it after 2 blanks, where it has 0 blanks"),
        ("    purpose: Sit.\n  - line", "   purpose: Sit.\n  - line", 13, 4, "after 4 blanks"),
        ("    purpose: Sit.\n  - line", "  purpose: Sit.\n  - line", 13, 3, "after 4 blanks"),
        ("    purpose: Sit.\n  - line", "      purpose: Sit.\n  - line", 13, 7, "after 4 blanks"),
        ("  - line", "  -line", 14, 3, "write `- line: 5 strides`"),
        ("  - line", "  line", 14, 3, "write `- line: 5 strides`"),
        ("  - start", "  start", 11, 3, "write `- start: canter, left lead`"),
        ("  - line", "  * line", 14, 3, "write `- line: 5 strides`"),
        ("  - line", "  – line", 14, 3, "write `- line: 5 strides`"),
        ("  birch: vertical", "  birch vertical", 8, 3, "write `birch: vertical`"),
        ("    purpose: Sit.\n  - line", "    purpose Sit.\n  - line", 13, 5, "`purpose: Sit.`"),
        ("level: 2'6\"", "level = 2'6\"", 4, 1, "write `level: 2'6\"`"),
        ("\nride:", "\nride", 10, 1, "write `ride:`"),
        ("purpose: P.", 'purpose: "P.', 3, 10, "close it at the end of the line"),
        ("title: T", "title: 'T", 2, 8, "close it at the end of the line"),
        ("    purpose: Sit.\n  - line", '    purpose: "Sit.\n  - line', 13, 14, "close it at "
        "the end"),
        ("purpose: P.", "purpose: 'Don't rush'", 3, 10, "leave the quotes out"),
        ("purpose: P.", "purpose: @home", 3, 10, 'put quotes round the whole: "@home"'),
        ("purpose: P.", "purpose: - one", 3, 10, "leave the dash out"),
        ("  - line", "\t- line", 14, 1, "indent with spaces, not tabs"),
    ],
)  # fmt: skip
def test_it_is_told_with_all_else_that_is_wrong(
    old: str, new: str, line: int, column: int, says: str
) -> None:
    assert old in FILE
    found = errors(FILE.replace(old, new, 1))
    (told,) = [d for d in found if d.span and d.span.line == line and d.rule == "not-yaml"]
    assert told.span
    assert (told.span.column, says in told.hint) == (column, True), told
    assert [d.span.line for d in found if d.span] == sorted([line, *{*ALSO} - {line}])


def test_several_are_told_at_once() -> None:
    text = FILE.replace("purpose: P.", 'purpose: "P.').replace("  - line", "   - line")
    text = text.replace("  - finish", "  -finish")
    assert [d.span.line for d in errors(text) if d.span] == [3, 9, 14, 15, 17]


def test_what_hangs_below_a_line_moves_with_it() -> None:
    text = FILE.replace("  - jump: birch\n    purpose", "   - jump: birch\n     purpose")
    assert [d.span.line for d in errors(text) if d.span] == [9, 12, 15]


def test_a_key_that_is_missing_above_a_block_is_told() -> None:
    found = errors(FILE.replace("ride:\n", ""))
    assert any("write `ride:` on a line of its own" in d.hint for d in found)
    found = errors(FILE.replace("fences:\n", ""))
    assert any("the key of its block above it: `fences:`" in d.hint for d in found)


@pytest.mark.parametrize(
    "purpose",
    [
        '"P and\n  more"',
        "'It''s\n  so'",
        '"watch:\n  sit up"',
        '|\n  say "go\n  now: sit',
        "P.\n  more",
    ],
)
def test_a_text_that_is_meant_to_run_on_is_one(purpose: str) -> None:
    text = FILE.replace("purpose: P.", f"purpose: {purpose}")
    assert not [d for d in errors(text) if d.rule == "not-yaml"]
