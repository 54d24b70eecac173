"""Starts and finishes: they come from somewhere, are long enough, and lie where they are said."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from diagram.checks import check
from diagram.geometry.pose import Pose
from diagram.geometry.region import Region
from diagram.model import Definition, validate
from diagram.path.limits import limits_for
from diagram.path.measures import SAME_RADIUS_M, SAME_STRIDE, straight_before
from diagram.path.open_prices import WantedWay
from diagram.path.open_ways import way_in, way_out
from diagram.path.room import Room
from diagram.planning import Plan, make_plan
from diagram.source import read_text
from diagram.trade.horses import Horses

REGION = Region.of(((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)))
ROOM = Room(REGION, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))
CANTER = limits_for(Horses("horse", 3.66)).canter
STRIDE = 3.66
ROUNDING = 1e-6

fences = some.builds(
    Pose,
    some.floats(5, 55),
    some.floats(4, 26),
    some.sampled_from([n * math.pi / 6 for n in range(12)]),
)
hands = some.sampled_from([None, True, False])


@settings(max_examples=60, deadline=None, derandomize=True)
@given(fences, hands)
def test_every_turned_start_goes_on_backwards_inside_the_arena(
    fence: Pose, left: bool | None
) -> None:
    curve = way_in(fence, WantedWay(6, 3, left), ROOM, CANTER)
    assert curve.end.distance(fence.point) < ROUNDING
    assert REGION.depth(curve.start.point) > -ROUNDING
    if curve.min_radius == math.inf:
        # Where no fair turn leads to the fence it begins straight before it, as many strides
        # back as there is room; test_a_start_with_a_rail_behind_it_is_told has these.
        return
    back = curve.start.ahead(-3 * STRIDE)
    # A straight line stays in a rectangle if both its ends do.
    assert REGION.depth(curve.start.point) > 0
    assert REGION.depth(back.point) > 0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(fences, hands)
def test_a_turned_start_is_fair(fence: Pose, left: bool | None) -> None:
    curve = way_in(fence, WantedWay(6, 3, left), ROOM, CANTER)
    turned = sum(piece.turn for piece in curve.pieces)
    if curve.min_radius == math.inf:
        return
    assert curve.min_radius >= CANTER.manner.least_radius - SAME_RADIUS_M - ROUNDING
    assert left is None or (turned > 0) == left
    assert straight_before(curve) >= CANTER.manner.into - SAME_STRIDE * STRIDE - ROUNDING


@settings(max_examples=30, deadline=None, derandomize=True)
@given(fences, hands)
def test_a_finish_is_a_start_ridden_backwards(fence: Pose, left: bool | None) -> None:
    out = way_out(fence, WantedWay(5, 2, left), ROOM, CANTER)
    back = way_in(
        fence.reversed(), WantedWay(5, 2, None if left is None else not left), ROOM, CANTER
    )
    assert out.start == fence
    assert out.length == pytest.approx(back.length)
    assert out.end.distance(back.start.point) < ROUNDING


@pytest.mark.parametrize("left", [True, False])
def test_with_room_it_is_six_strides_and_turns_to_its_hand(left: bool) -> None:
    curve = way_in(
        Pose(30, 15, math.pi / 2 if left else -math.pi / 2), WantedWay(6, 3, left), ROOM, CANTER
    )
    assert curve.length >= 6 * STRIDE - 0.25 * STRIDE
    turned = sum(piece.turn for piece in curve.pieces)
    assert abs(turned) < math.radians(20) or (turned > 0) == left


def planned(start: str, finish: str = "walk", at: str = "[30 m, 12 m], facing: 0°") -> Plan:
    text = (
        "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'6\"\nhorses: horse\n"
        "arena: {size: 60 x 30 m, gate: {side: left, at: 10 m}}\nfences:\n"
        f"  birch: {{kind: vertical, at: {at}}}\n"
        f"ride:\n  - start: {start}\n  - jump: birch\n  - finish: {finish}\n"
    )
    document = read_text(text, "trial.yaml")
    return check(make_plan(document, validate(document, Definition)))


@pytest.mark.parametrize(("said", "side"), [("along top", 30.0), ("along bottom", 0.0)])
def test_along_a_side_it_is(said: str, side: float) -> None:
    start = planned(f"canter, {said}").legs[0].curve.start
    assert 1.0 - ROUNDING <= abs(start.y - side) <= 1.5 + ROUNDING
    assert abs(math.sin(start.heading)) < 1e-9


def test_through_the_gate() -> None:
    plan = planned("canter, from the gate")
    start = plan.legs[0].curve.start
    assert plan.arena.gate is not None
    assert start.distance(plan.arena.gate.middle) < 4 * STRIDE
    assert math.cos(start.heading) == pytest.approx(1.0)
    assert plan.arena.region.depth(start.point) > 1.0
    assert not {"off-the-arena", "does-not-fit"} & {f.rule for f in plan.findings}


def test_a_circle_where_it_is_said() -> None:
    plan = planned("canter, left lead, circle left 10 m near the gate")
    turned = sum(abs(piece.turn) for piece in plan.legs[0].curve.pieces)
    assert turned > 2 * math.pi - 0.01
    assert not [f for f in plan.findings if f.rule == "circle-left-out"]


def test_a_halt_on_the_line_goes_straight() -> None:
    away = planned("canter", "halt on the line").legs[-1]
    assert away.curve.min_radius == math.inf
    assert away.ridden.stretches[-1].gait == "halt"


def test_a_side_that_is_not_there_is_named() -> None:
    with pytest.raises(Exception, match="rigth"):
        planned("canter, along rigth")


def test_a_start_on_the_centre_line_does_not_pass_through_its_own_fence() -> None:
    """In 20 x 40 m the turn onto the centre line is just too tight in trot, and a loop is not."""
    trot = limits_for(Horses("medium pony", 3.0)).trot
    region = Region.of(((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)))
    pole = np.array([[14.3, 8.2]]), np.array([[14.3, 11.8]]), np.zeros(1)
    curve = way_in(Pose(14.2, 10.0, 0.0), WantedWay(8, 3), Room(region, *pole), trot)
    points = curve.points(0.25)
    before = points[: -int(3.0 / 0.25)]
    # Places looked at lie up to half a metre apart, so a little less than the limit may pass.
    assert Room(region, *pole).clearance(before).min() > trot.manner.fences - 0.1
    assert min(1 / abs(p.k0) for p in curve.pieces if p.k0) > trot.manner.least_radius - 1e-6


@settings(max_examples=25, deadline=None, derandomize=True)
@given(fences, some.sampled_from(["canter", "canter, left lead", "trot, right lead"]))
def test_a_start_with_a_rail_behind_it_is_told(fence: Pose, start: str) -> None:
    """Every start, straight or turned: it goes on backwards for three strides, through the gate
    or inside the arena, or a finding says that it does not. A quarter of a stride is the check's
    own slack."""
    at = f"[{fence.x:.2f} m, {fence.y:.2f} m], facing: {math.degrees(fence.heading):.0f}°"
    plan = planned(start, at=at)
    leg = plan.legs[0]
    stride = plan.limits.for_gait(leg.ridden.stretches[0].gait).stride_m
    back = leg.curve.start.ahead(-2.75 * stride)
    gate = plan.arena.gate
    assert gate is not None
    through_the_gate = (
        back.distance(gate.middle) < 2.75 * stride
        and abs(leg.curve.start.y - gate.middle[1]) < gate.width / 2
    )
    inside = plan.arena.region.depth(back.point) > 0
    told = [f for f in plan.findings if f.rule == "start-off-the-wall"]
    assert inside or through_the_gate or told
