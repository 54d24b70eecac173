"""Files put in order: they say the same, keep every comment, and stay as they are after that."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from diagram.cli import main
from diagram.source import plain, read_text
from diagram.writing.tidy import NotTidiedError, tidied

ROOT = Path(__file__).parents[2]
UNTIDY = """\
# About this file.

ride:{}
  - jump: birch  # over it


  # the last one
  - jump: elm
notes: [Look up.]
# what it is called
title: One
fences:
  birch: {{kind: vertical}}
  elm: {{kind: oxer}}
tapeline: 1
purpose: To try.
# at the end
""".format("   ")
TIDY = """\
# About this file.

tapeline: 1
# what it is called
title: One
purpose: To try.

fences:
  birch: {kind: vertical}
  elm: {kind: oxer}

ride:
  - jump: birch  # over it

  # the last one
  - jump: elm

notes: [Look up.]

# at the end
"""


def test_in_order() -> None:
    assert tidied(UNTIDY) == TIDY
    assert tidied(TIDY) == TIDY


CROOKED = """\
tapeline: 1
purpose: >
    To try
    it all.
horses:
        size: horse      # a comment
fences:
    birch:
        # how
        kind: vertical
        at: [20 m,
             20 m]
ride:
# begin
-   start: canter
    # the first
-   jump: birch
    watch:
    - Eyes up
-   phase: |
        Two
          lines.
warm up:
-   Trot
    and canter.
"""
STRAIGHT = """\
tapeline: 1
purpose: >
    To try
    it all.
horses:
  size: horse      # a comment

fences:
  birch:
    # how
    kind: vertical
    at: [20 m,
         20 m]

ride:
  # begin
  - start: canter
    # the first
  - jump: birch
    watch:
      - Eyes up
  - phase: |
        Two
          lines.

warm up:
  - Trot
    and canter.
"""


def test_lines_stand_under_each_other() -> None:
    assert tidied(CROOKED) == STRAIGHT
    assert tidied(STRAIGHT) == STRAIGHT


@pytest.mark.parametrize(
    "file", sorted((ROOT / "exercises").glob("*-*.yaml")), ids=lambda file: file.stem
)
def test_shipped_exercises_say_the_same_in_order(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    once = tidied(text)
    assert plain(read_text(once).root) == plain(read_text(text).root)
    assert once == text, "run tapeline format exercises"
    assert tidied(once) == once


LINES = st.sampled_from([
    "title: One", "purpose: To try.", "notes: [a, b]", "", "  ", "# a comment", "  # inside",
    "level: 2'", "ride:", "  - jump: birch", "  - jump: elm  # last", "fences:", "  birch: {a: b}",
    "skills: |", "  two ", "", "  lines", "-   start: canter", "    watch:", "    - a",
    "      b: c", "horses:", "        size: horse", "   # crooked", "      [x,", "  y]",
])  # fmt: skip


@given(st.lists(LINES, max_size=16))
def test_whatever_is_written_means_the_same_or_is_left(lines: list[str]) -> None:
    from diagram.diagnostics import RejectedError

    text = "\n".join(lines)
    try:
        once = tidied(text)
    except (NotTidiedError, RejectedError):
        return
    assert plain(read_text(once).root) == plain(read_text(text).root)
    assert once.count("#") == text.count("#")
    assert tidied(once) == once


def test_the_command(tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(UNTIDY, encoding="utf-8")
    assert CliRunner().invoke(main, ["format", str(file), "--check"]).exit_code == 1
    assert file.read_text(encoding="utf-8") == UNTIDY
    assert CliRunner().invoke(main, ["format", str(file)]).exit_code == 0
    assert file.read_text(encoding="utf-8") == TIDY
    assert CliRunner().invoke(main, ["format", str(file), "--check"]).exit_code == 0
