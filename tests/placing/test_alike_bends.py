"""Bends said alike come out alike, an S is an S, and with room a bend is a gentle line.

That one to two straight strides are left at both ends, and that a bend with no angle is a gentle
one, is common practice (no source).
"""

from __future__ import annotations

import math
from itertools import product

import pytest
from said import FIELD_L, M30, M45, M60, SMALL, Said
from samples import each

from diagram.path.measures import straight_after, straight_before, straight_strides
from diagram.pipeline import plan_text
from diagram.planning import Plan, PlanLeg

RINGS = {"60 x 30 m": M30, "70 x 45 m": M45, "80 x 60 m": M60, "100 x 200 ft": SMALL, "L": FIELD_L}
HORSES = ("horse", "small pony")
RIDES = ("ash (L5) birch (R5) cedar", "ash (L5) birch (L5) cedar", "ash (R3) birch (L3) cedar")
ALIKE = math.radians(0.5)
"""Fences are placed to a centimetre, which is as much in 2 m of straight."""
STRAIGHT = 0.05
"""Of a stride: the same centimetre, at both ends of an ease."""


def planned(arena: str, horses: str, ride: str) -> Plan:
    hands = [part[0] for part in ride.split("(")[1:]]
    text = Said("two bends", arena, horses, ride).text
    if len(set(hands)) > 1:
        lead = {"L": "left", "R": "right"}[hands[1]]
        text = text.replace("jump: birch", f"jump: birch, land on the {lead} lead")
    return plan_text(text)


def bends(plan: Plan) -> list[PlanLeg]:
    return [leg for leg in plan.legs if leg.shape == "bend"]


@pytest.mark.parametrize(("ride", "horses", "ring"), each(3, product(RIDES, HORSES, RINGS)))
def test_two_said_alike_come_out_alike(ride: str, ring: str, horses: str) -> None:
    plan = planned(RINGS[ring], horses, ride)
    first, second = bends(plan)
    assert plan.layout.outcome.startswith("placed")
    assert abs(abs(first.curve.turn) - abs(second.curve.turn)) < ALIKE
    assert first.min_radius_m == pytest.approx(second.min_radius_m, rel=0.02)
    assert (first.curve.turn > 0) == (ride[5] == "L")
    own = plan.limits.canter
    for bend in (first, second):
        ends = straight_after(bend.curve), straight_before(bend.curve)
        assert all(1 - STRAIGHT <= straight_strides(m, own) <= 2 + STRAIGHT for m in ends)


@pytest.mark.parametrize("horses", HORSES)
@pytest.mark.parametrize("strides", [4, 5, 6, 7])
def test_with_room_a_bend_is_a_gentle_line(strides: int, horses: str) -> None:
    plan = planned(M60, horses, f"ash (L{strides}) birch (R{strides}) cedar")
    for bend in bends(plan):
        assert abs(bend.curve.turn) <= math.radians(45) + ALIKE
        assert bend.min_radius_m > plan.limits.canter.manner.liked_radius


def test_an_s_is_its_own_mirror_about_the_fence_in_its_middle() -> None:
    plan = planned(M45, "horse", "ash (L5) birch (R5) cedar")
    middle = plan.fence("birch").pose
    ash, cedar = (plan.fence(name).pose.seen_from(middle) for name in ("ash", "cedar"))
    assert (ash.x, ash.y) == pytest.approx((-cedar.x, -cedar.y), abs=0.02)
    assert ash.heading == pytest.approx(cedar.heading, abs=ALIKE)
