"""Random exercises: what is found at places worked out is found at the same places typed in."""

from __future__ import annotations

import os

import pytest
from pinned import pinned
from random_said import random_said

from diagram.checks.does_not_fit import OF_PLACES
from diagram.diagnostics import Severity
from diagram.pipeline import plan_text

MANY = int(os.environ.get("TAPELINE_MANY", "0"))
USUAL = (0, 1, 2, 4, 5, 7, 9)
"""Those that are placed, and soon. As many again by hand: TAPELINE_MANY=700 leaves over 500 that
are placed, in about 7 minutes."""


@pytest.mark.parametrize("seed", range(MANY) if MANY else USUAL)
def test_the_pinned_copy_has_the_same_findings(seed: int) -> None:
    text = random_said(seed).text
    plan = plan_text(text)
    if plan.layout.shortages:
        pytest.skip("does not fit, so that there are no places to keep")
    again = plan_text(pinned(plan, text))
    assert again.layout.outcome == "placed as pinned"
    assert [(f.rule, f.severity) for f in again.findings] == [
        (f.rule, f.severity) for f in plan.findings
    ]
    warned = [f for f in plan.findings if f.rule in OF_PLACES and f.severity != Severity.NOTE]
    assert bool(warned) == (plan.layout.outcome == "placed, but tight")
