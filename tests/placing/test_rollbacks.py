"""A rollback is a half circle and back: laid out so that it can be ridden as one."""

from __future__ import annotations

import math

import pytest
from said import M30, M45, M60, SMALL, Said

from diagram.pipeline import plan_text


@pytest.mark.parametrize("horses", ["horse", "small pony"])
@pytest.mark.parametrize("hand", ["<<", ">>"])
@pytest.mark.parametrize("arena", [M30, M45, M60, SMALL])
def test_a_rollback_is_no_way_round_the_ring(arena: str, hand: str, horses: str) -> None:
    plan = plan_text(Said("rollback", arena, horses, f"ash -5- birch {hand} cedar").text)
    assert plan.layout.outcome.startswith("placed, with room")
    (back,) = [leg for leg in plan.legs if leg.shape == "rollback"]
    own = plan.limits.canter
    half_circle = math.pi * own.manner.least_radius
    # Half as long again as with two strides at both ends: lines that a designer uses lie so far
    # apart that no less is to be had in every ring.
    assert back.track_m < 1.5 * (half_circle + 2 * (own.landing_m + 2 * own.stride_m))
    assert abs(back.curve.turn) > math.radians(150)
