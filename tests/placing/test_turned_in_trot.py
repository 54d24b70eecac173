"""A grid from trot, ridden again and again: the daily work of an indoor ring.

From the centre line of a ring of 20 m to the track a metre off its rail there are 9 m, and walk and
trot tests for beginners turn there (from memory). That a horse canters on two or three strides
from a fence before it trots is common practice (no source).
"""

from __future__ import annotations

import pytest

from diagram.path.measures import straight_after
from diagram.pipeline import plan_text
from diagram.planning import Plan

GROUND = {
    "one-rein-only", "too-little-straight", "element-without-purpose", "lead-against-the-turn",
    "first-fence-away-from-the-gate",
}  # fmt: skip
"""Notes that half circles in a narrow ring on one rein bring, and a way out left to the rider."""


def again(arena: str, horses: str, gait: str = "trot") -> Plan:
    return plan_text(
        f"tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'\narena: {arena}\nhorses: {horses}\n"
        "fences:\n  grid:\n    kind: grid\n    on: centre line\n"
        "    elements:\n      - cross-rail 1'6\"\n      - vertical, after 1 stride\n"
        f"ride:\n  - start: trot, right rein\n  - jump: grid\n  - turn: right, {gait}\n"
        "  - jump: grid\n  - finish: walk\n"
    )


@pytest.mark.parametrize("arena", ["20 x 40 m", "20 x 60 m", "25 x 50 m", "70 x 200 ft"])
@pytest.mark.parametrize("horses", ["horse", "green horse", "schooled horse", "large pony"])
def test_it_fits_and_turns_in_trot(arena: str, horses: str) -> None:
    plan = again(arena, horses)
    assert plan.layout.outcome == "placed, with room to choose"
    assert {f.rule for f in plan.findings} <= GROUND
    assert {str(f.severity) for f in plan.findings} <= {"note"}
    (turn,) = (leg for leg in plan.legs if leg.shape == "turn")
    before, after = turn.ridden.stretches
    assert (before.gait, after.gait, turn.turning_gait) == ("canter", "trot", "trot")
    stride = plan.terms.horses.stride_m
    assert 2 * stride <= before.end_m <= 3 * stride
    # The track bends no sooner than the horse trots.
    assert straight_after(turn.curve) >= before.end_m - 0.1


def test_in_canter_it_is_too_tight_for_that_ring() -> None:
    assert again("20 x 40 m", "horse", "canter").layout.shortages
