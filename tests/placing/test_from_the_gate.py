"""A ride that comes in through the gate: placed so that there is a fair way to its first fence."""

from __future__ import annotations

import re

import pytest
from said import M30, M45, Said

from diagram.pipeline import plan_text

FIELD = "{size: 80 x 55 m, gate: {side: right, at: 10 m}}"
LONG_SIDE = "{size: 80 x 55 m, gate: {side: bottom, at: 10 m}}"


@pytest.mark.parametrize(
    ("ride", "arena", "lead"),
    [
        ("ash -5- birch", M45, "left"),
        ("ash -5- birch", M45, "right"),
        ("ash -5- birch < cedar", M30, "left"),
        ("ash -5- birch > cedar", FIELD, "right"),
        ("ash -6- birch > cedar > elm (R5) fir", FIELD, "right"),
        ("ash > birch", LONG_SIDE, "right"),
    ],
)
def test_it_is_placed_and_comes_in_through_the_gate(ride: str, arena: str, lead: str) -> None:
    text = Said("from the gate", arena, "horse", ride).text
    text = re.sub(r"canter, \w+ lead", f"canter, {lead} lead, from the gate", text, count=1)
    plan = plan_text(text)
    assert plan.layout.outcome.startswith("placed, with room")
    assert {str(finding.severity) for finding in plan.findings} <= {"note"}
    start = plan.legs[0].curve.start
    assert plan.arena.gate is not None
    # Clear of the rail by the metre that a track keeps, and no further in than two strides.
    depth = plan.arena.region.depth(start.point)
    assert 1.0 - 1e-6 <= depth <= 2 * plan.limits.canter.stride_m
    assert start.distance(plan.arena.gate.middle) == pytest.approx(depth, abs=0.01)
