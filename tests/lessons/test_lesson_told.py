"""Mistakes in a lesson's file are answered with what to write, and one does not hide another."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram.diagnostics import RejectedError
from diagram.lessons.lesson import read_lesson

LESSON = """\
tapeline lesson: 1
title: Tonight
time: 18:00-19:00
groups: {A: {riders: 2, horses: horse, height: 2'6"}}
run:
  - group: A
  - warm up: 15 min
  - exercise: none
  - cool down: 10 min
"""


def told(folder: Path, old: str, new: str) -> list[tuple[int, str]]:
    """Line and hint of every error of the lesson with this change."""
    assert old in LESSON
    file = folder / "lesson.yaml"
    file.write_text(LESSON.replace(old, new, 1), encoding="utf-8")
    (folder / "nine.yaml").write_text("tapeline: 1\n", encoding="utf-8")
    with pytest.raises(RejectedError) as caught:
        read_lesson(file)
    return [(d.span.line, d.hint) for d in caught.value.diagnostics if d.span]


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("none", "nin", 8, 'did you mean "nine"?'),
        ("  - exercise: none", "  - exercise nine", 8, "`- exercise: nine`, with a colon"),
        ("time: 18", "start: 18", 3, "write time: 18:00-19:30"),
        ("run:", "plan:", 5, "write run:"), ("cool down", "walk", 9, "`- cool down: 10 min`"),
        ("riders: 2", "riders: two", 4, "write 2"), ("riders: 2", "names: 2", 4, "write riders: 3"),
        ("groups: {A: {riders: 2,", "groups: {A: 2, B: {riders: 2,", 4, "groups: {A: {riders: 2"),
        ("title: Tonight", 'title: "Tonight', 2, "close it at the end of the line"),
        ("  - warm", "   - warm", 7, "begin it after 2 blanks"),
        ("title: Tonight", "title Tonight", 2, "write `title: Tonight`"),
    ],
)  # fmt: skip
def test_it_is_told_what_to_write(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    found = told(tmp_path, old, new)
    assert any(at == line and says in hint for at, hint in found), found


def test_two_lines_in_one_are_told_as_two(tmp_path: Path) -> None:
    found = told(tmp_path, "  - warm up", "    warm up")
    assert (6, "begin each with a dash of its own: `- group: ...`, `- warm up: ...`") in found


def test_a_group_that_is_not_there_is_told_once(tmp_path: Path) -> None:
    text = LESSON.replace("- exercise: none", "- warm up: 5 min")
    (tmp_path / "l.yaml").write_text(text.replace("group: A", "group: B"), encoding="utf-8")
    with pytest.raises(RejectedError) as caught:
        read_lesson(tmp_path / "l.yaml")
    assert [d.hint for d in caught.value.diagnostics] == ["groups here: A"]


def test_what_is_no_sound_yaml_does_not_hide_the_rest(tmp_path: Path) -> None:
    found = told(tmp_path, "title: Tonight\ntime: 18:00", "title: Tonight: 1\ntime: half past:00")
    assert {2, 3} <= {line for line, _ in found}
