"""Files that nobody should write: each is refused with its place, or planned and printed. No more.

355 of them, one thing wrong (or odd) in each; what is wrong is in the name of the file. They are
bytes as they came, not all of them text.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram import plans
from diagram.diagnostics import RejectedError, Severity
from diagram.pipeline import card
from diagram.planning import Plan

FILES = sorted(Path(__file__).with_name("files").glob("*.yaml"))

READABLE = set(Path(__file__).with_name("readable.txt").read_text(encoding="utf-8").split())
"""Odd, and yet an exercise. Everything else must be refused, or found wanting by a check."""


def test_there_are_enough_of_them() -> None:
    assert len(FILES) >= 200
    assert {file.stem for file in FILES} >= READABLE


def _planned(file: Path) -> tuple[tuple[Plan, ...], RejectedError | None]:
    try:
        return plans(file), None
    except RejectedError as problem:
        return (), problem


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_it_is_refused_or_printed(file: Path, tmp_path: Path) -> None:
    made, problem = _planned(file)
    if problem is not None:
        assert file.stem not in READABLE
        assert problem.diagnostics
        for found in problem.diagnostics:
            assert found.severity is Severity.ERROR
            assert found.message
            assert found.span
            assert min(found.span.line, found.span.column) >= 1
        assert "error[" in str(problem)
    for plan in made:
        worst = {finding.severity for finding in plan.findings}
        assert file.stem in READABLE or worst & {Severity.STOP, Severity.CAUTION}
        target = tmp_path / "card.pdf"
        card(plan, target)
        assert target.read_bytes().startswith(b"%PDF")
