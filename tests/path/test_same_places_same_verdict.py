"""What is placed and what is pinned at the places found have the same findings."""

from __future__ import annotations

from pathlib import Path

import pytest
from pinned import pinned
from samples import SAMPLES

from diagram.checks import check
from diagram.model import Definition, validate
from diagram.planning import Plan, make_plan
from diagram.source import read_text


def _plan(text: str, name: str) -> Plan:
    document = read_text(text, name)
    return check(make_plan(document, validate(document, Definition)))


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_the_pinned_copy_has_the_same_findings(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    if "elements:" in text or "rides:" in text:
        pytest.skip("a combination is pinned in one piece")
    plan = _plan(text, str(file))
    again = _plan(pinned(plan, text), str(file))
    assert [(f.rule, f.severity) for f in again.findings] == [
        (f.rule, f.severity) for f in plan.findings
    ]


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_what_is_called_placed_has_nothing_worse_than_a_note(file: Path) -> None:
    plan = _plan(file.read_text(encoding="utf-8"), str(file))
    assert plan.layout.outcome.startswith("placed")
    assert {str(f.severity) for f in plan.findings} <= {"note"}
