"""Thousands of errors are told in a page, and the work for them grows with their number."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from diagram import plan
from diagram.diagnostics import MOST_SHOWN, RejectedError
from diagram.model.reading import MOST_ERRORS
from diagram.source import MOST_TEXT, READ_TWICE, read_text


def _refused(tmp_path: Path, keys: int) -> RejectedError:
    file = tmp_path / "many.yaml"
    file.write_text("tapeline: 1\n" + "".join(f"k{n}: 1\n" for n in range(keys)), encoding="utf-8")
    with pytest.raises(RejectedError) as caught:
        plan(file)
    return caught.value


def test_the_first_fifty_are_shown_and_the_rest_is_counted(tmp_path: Path) -> None:
    problem = _refused(tmp_path, 3000)
    assert len(problem.diagnostics) == MOST_ERRORS + 1
    text = str(problem)
    assert text.count("error[") == MOST_SHOWN
    assert text.endswith(f"and {MOST_ERRORS + 1 - MOST_SHOWN} more")
    assert any("more errors, not written out" in d.message for d in problem.diagnostics)


def _lines_run(work: object) -> int:
    """Lines of Python run by `work()`: a measure of its cost that no clock disturbs."""
    count = 0

    def trace(_frame: object, event: str, _arg: object) -> object:
        nonlocal count
        count += event == "line"
        return trace

    sys.settrace(trace)  # type: ignore[arg-type]
    try:
        work()  # type: ignore[operator]
    finally:
        sys.settrace(None)
    return count


def test_the_work_grows_with_the_number_of_keys(tmp_path: Path) -> None:
    few = _lines_run(lambda: _refused(tmp_path, 1000))
    many = _lines_run(lambda: _refused(tmp_path, 4000))
    # Four times the keys, of which the same number is put into words: well under four times.
    assert many < 4 * few


def test_repeated_text_has_a_limit_too() -> None:
    # Twenty thousand values would be allowed, but not twenty thousand long ones.
    block = "x" * (MOST_TEXT // 1000)
    read_text(f"a: &a {block}\nb: [{', '.join(['*a'] * 990)}]\n")
    with pytest.raises(RejectedError) as caught:
        read_text(f"a: &a {block}\nb: [{', '.join(['*a'] * 1100)}]\n")
    assert [d.rule for d in caught.value.diagnostics] == ["too-many-values"]


@pytest.mark.parametrize("broken", ["a: [1,\nb: 2\n", 'a: "b\n', "a: b: c\n", "ä: \x07b\n"])
def test_a_long_broken_file_is_told_in_the_same_words_as_a_short_one(broken: str) -> None:
    said = []
    for comment in ("#\n", "#" + "é" * READ_TWICE + "\n"):
        with pytest.raises(RejectedError) as caught:
            read_text(comment + broken)
        (found,) = caught.value.diagnostics
        assert found.span is not None
        said.append((found.rule, found.message, found.hint, found.span.line, found.span.column))
    assert said[0] == said[1]


def test_a_long_broken_file_is_not_read_by_python() -> None:
    """The fast parser asks Python for the sort of each value, twice over: under forty lines. The
    one that is written in Python runs over a hundred."""

    def work() -> None:
        with pytest.raises(RejectedError):
            read_text("a: [" + "x," * READ_TWICE)

    assert _lines_run(work) < 50 * READ_TWICE
