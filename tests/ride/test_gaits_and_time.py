"""Gait, lead, transitions and time along the line, against sums done by hand."""

import pytest

from diagram.pipeline import plan_text
from diagram.units import FOOT

HEAD = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
horses: 12' stride
speed: 360 m/min
fences:
  birch: {kind: vertical, at: [20 m, 10 m], facing: 0°, ground line: both sides}
  hazel: {kind: vertical, placed: 10 strides beyond birch, ground line: both sides}
ride:
"""


def _legs(ride: str):
    return plan_text(HEAD + ride).legs


def test_time_is_length_over_speed() -> None:
    """Ten 12-ft strides are 132 ft base to base; at 360 m/min that takes 6.706 s."""
    leg = _legs("  - jump: birch\n  - line: 10 strides\n  - jump: hazel\n")[1]
    assert leg.track_m == pytest.approx(132 * FOOT, abs=1e-6)
    assert leg.seconds == pytest.approx(132 * FOOT / 6.0, abs=1e-6)


def test_a_walk_in_the_middle() -> None:
    """Five steps of half a 1.6 m stride, 4 m, in the middle of 132 ft (stride: published web
    article [S49], 1.4 to 1.8 m), at 100 m/min (the middle of 80 to 120, [S47])."""
    ride = "  - jump: birch\n  - line: 10 strides, walk 5 steps in the middle\n  - jump: hazel\n"
    stretches = _legs(ride)[1].ridden.stretches
    middle = 132 * FOOT / 2
    assert [s.gait for s in stretches] == ["canter", "walk", "canter"]
    assert stretches[1].begin_m == pytest.approx(middle - 2.0, abs=1e-6)
    assert stretches[1].end_m == pytest.approx(middle + 2.0, abs=1e-6)
    assert stretches[1].seconds == pytest.approx(4.0 / (100 / 60), abs=1e-6)
    assert stretches[0].seconds == pytest.approx((middle - 2.0) / 6.0, abs=1e-6)


def test_a_halt_takes_no_ground() -> None:
    ride = "  - jump: birch\n  - line: 10 strides, halt 4 seconds in the middle\n  - jump: hazel\n"
    halt = _legs(ride)[1].ridden.stretches[1]
    assert halt.begin_m == halt.end_m
    assert halt.seconds == 4.0


def test_landing_leads_and_changes() -> None:
    """Left lead, land right, turn right, simple change back to the left."""
    ride = (
        "  - start: canter, left lead\n"
        "  - jump: birch\n  - line: 10 strides\n"
        "  - jump: hazel, land on the right lead\n  - turn: left, simple change\n"
        "  - jump: birch\n"
    )
    legs = _legs(ride)
    assert [leg.lead for leg in legs[:3]] == ["left", "left", "right"]
    assert legs[2].ridden.lead_in == "left"


def test_a_trot_start_holds_in_turns_until_canter_is_said() -> None:
    """A horse lands in canter; only the line after a trotted fence is shortened for it."""
    ride = (
        "  - start: trot\n  - jump: birch\n  - line: 10 strides\n  - jump: hazel\n"
        "  - turn: left\n  - jump: birch\n  - line: 10 strides\n  - jump: hazel\n"
    )
    held = _legs(ride)
    assert [stretch.gait for stretch in held[2].ridden.stretches] == ["canter", "trot"]
    assert held[3].link.gait == "trot"
    legs = _legs(ride.replace("turn: left", "turn: left, canter"))
    assert legs[0].ridden.stretches[0].gait == "trot"
    assert legs[1].ridden.stretches[0].gait == "canter"
    assert legs[1].link.gait == "trot"
    assert legs[3].link.gait == "canter"
    assert legs[3].asked is not None
    assert legs[3].asked.aim_m == pytest.approx(132 * FOOT, abs=1e-6)
