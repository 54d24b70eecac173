"""Findings that stand at one spot share a letter."""

from __future__ import annotations

import pytest

from diagram.checks import _marked
from diagram.checks.rule import fact, with_fact
from diagram.diagnostics import Diagnostic, Severity


@pytest.mark.parametrize(("apart", "letter"), [(0.9, "A"), (1.1, "B")])
def test_a_metre_apart_is_another_place(apart: float, letter: str) -> None:
    findings = [
        with_fact(Diagnostic("rule", Severity.NOTE, "said", None, ""), "at_m", (x, 5.0))
        for x in (5.0, 5.0 + apart)
    ]
    assert [fact(finding, "mark") for finding in _marked(findings)] == ["A", letter]
