"""What is placed and what is pinned at the places found have the same findings."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import yaml
from samples import SAMPLES

from diagram.checks import check
from diagram.model import Definition, validate
from diagram.planning import Plan, make_plan
from diagram.source import read_text


def _plan(text: str, name: str) -> Plan:
    document = read_text(text, name)
    return check(make_plan(document, validate(document, Definition)))


def _pinned(plan: Plan, text: str) -> str:
    """The file with every fence at the place found, to a thousandth of a millimetre."""
    written = yaml.safe_load(text)
    for placed in plan.fences:
        fence = written["fences"][placed.name]
        # YAML 1.1 reads a bare `on` as true.
        for key in ("on", True, "placed", "at", "facing"):
            fence.pop(key, None)
        fence["at"] = [f"{placed.pose.x:.6f} m", f"{placed.pose.y:.6f} m"]
        fence["facing"] = f"{math.degrees(placed.pose.heading) % 360:.6f}°"
    written.pop("arrange", None)
    return yaml.safe_dump(written, sort_keys=False, allow_unicode=True)


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_the_pinned_copy_has_the_same_findings(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    if "elements:" in text or "rides:" in text:
        pytest.skip("a combination is pinned in one piece")
    plan = _plan(text, str(file))
    again = _plan(_pinned(plan, text), str(file))
    assert [(f.rule, f.severity) for f in again.findings] == [
        (f.rule, f.severity) for f in plan.findings
    ]


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_what_is_called_placed_has_nothing_worse_than_a_note(file: Path) -> None:
    plan = _plan(file.read_text(encoding="utf-8"), str(file))
    assert plan.layout.outcome.startswith("placed")
    assert {str(f.severity) for f in plan.findings} <= {"note"}
