"""Where the horse comes down: sums by hand, and sums that must come out to the millimetre."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ride_trials import BIRCH, beyond, ridden
from samples import SAMPLES

from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose
from diagram.pipeline import plan, plan_text
from diagram.planning import PlanLeg
from diagram.ride.leads import NO_LEAD
from diagram.ride.stretches import LegGround, plain
from diagram.ride.strides import shared_out, spots
from diagram.units import FOOT

MILLIMETRE = 0.001


def _sum(leg: PlanLeg) -> float:
    """Landing, every stride and step, and the take-off."""
    return sum(spot.length_m for spot in leg.ridden.spots) + leg.ridden.ground.take_off_m


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_they_add_up_to_the_track(file: Path) -> None:
    for leg in plan(file).legs:
        if leg.second is not None:
            assert _sum(leg) == pytest.approx(leg.track_m, abs=MILLIMETRE)
            places = [spot.at_m for spot in leg.ridden.spots]
            assert places == pytest.approx(sorted(places), abs=1e-9)


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_clock_and_place_run_together(file: Path) -> None:
    for leg in plan(file).legs:
        clocks = [spot.clock for spot in leg.ridden.spots]
        assert clocks == pytest.approx(sorted(clocks), abs=1e-9)
        assert all(0 <= clock <= leg.seconds + 1e-9 for clock in clocks)


@settings(max_examples=200, deadline=None)
@given(
    length=st.floats(1.0, 120.0),
    landing=st.floats(0.0, 2.5),
    take_off=st.floats(0.0, 2.5),
    said=st.none() | st.integers(0, 12),
    stride=st.floats(2.0, 4.6),
)
def test_any_ground_is_shared_out_whole(
    length: float, landing: float, take_off: float, said: int | None, stride: float
) -> None:
    curve = Curve.straight(Pose(0, 0, 0), length)
    gait = plain(length, "canter", 6.0)
    ground = shared_out(LegGround(length, landing, take_off), True, said, stride)
    found = spots(curve, ground, gait, said, None, NO_LEAD, stride)
    counted = [spot for spot in found if spot.what == "stride"]
    if said and landing and take_off:
        assert len(counted) == said
    reached = sum(spot.length_m for spot in found)
    if take_off:
        assert reached + ground.take_off_m == pytest.approx(length, abs=MILLIMETRE)
    assert all(spot.length_m >= -1e-9 for spot in found)


def test_five_strides_by_hand() -> None:
    """72 ft: 6 ft to land, five of 12 ft, 6 ft to take off (published web article [S14]: 2 yd
    each from about 0.90 m up; [S76]: take-off about 6 ft out at 3 ft)."""
    plan = ridden("jump: birch", "line: 5 strides", "jump: hazel", fences=(BIRCH, beyond("72 ft")))
    found = plan.legs[1].ridden.spots
    assert [spot.what for spot in found] == ["landing", *["stride"] * 5, "take-off"]
    assert [spot.number for spot in found] == [0, 1, 2, 3, 4, 5, 0]
    expected = [6, 18, 30, 42, 54, 66, 66]
    assert [spot.at_m / FOOT for spot in found] == pytest.approx(expected, abs=1e-6)


def test_four_strides_over_poles_as_published() -> None:
    """ "18 yd (54 ft) for four strides = 1 + 4 x 4 + 1 yd": published web article [S14]."""
    fences = (
        BIRCH.replace("kind: vertical", "kind: ground pole").replace(
            ", ground line: both sides", ""
        ),
        beyond("54 ft", "kind: ground pole"),
    )
    plan = ridden("jump: birch", "line: 4 strides", "jump: hazel", fences=fences)
    found = plan.legs[1].ridden.spots
    assert [round(spot.length_m / FOOT, 6) for spot in found] == [3, 12, 12, 12, 12, 0]
    assert plan.legs[1].ridden.ground.take_off_m == pytest.approx(3 * FOOT)


def test_landing_behind_a_spread_is_further_and_take_off_before_one_nearer() -> None:
    """10 cm each: the middle figures of [S3] for one stride against vertical to vertical."""
    oxer = beyond("72 ft", "kind: oxer, spread: 2'6\", ground line: both sides")
    fences = (BIRCH, oxer, "elm: {kind: vertical, placed: 72 ft beyond hazel}")
    ride = ("jump: birch", "line: 5 strides", "jump: hazel", "line: 5 strides", "jump: elm")
    _, there, back, _ = ridden(*ride, fences=fences).legs
    assert there.ridden.ground.take_off_m == pytest.approx(6 * FOOT - 0.10)
    assert back.ridden.ground.landing_m == pytest.approx(6 * FOOT + 0.10)
    assert there.ridden.ground.landing_m == back.ridden.ground.take_off_m


@pytest.mark.parametrize(
    ("height", "feet"),
    # 1.5 yd at a very small fence and 2 yd at full height [S14], evenly between; above 1 m three
    # quarters of a metre for each metre, derived from the one-stride column of [S1].
    [("1'6\"", 4.5), ("0.75 m", 5.25), ("0.9 m", 6.0), ("1.0 m", 6.0), ("1.2 m", 6 + 0.15 / FOOT)],
)
def test_landing_by_height(height: str, feet: float) -> None:
    plan = ridden(
        "jump: birch", "line: 72 ft", "jump: hazel", fences=(BIRCH, beyond("72 ft")), level=height
    )
    assert plan.legs[1].ridden.ground.landing_m / FOOT == pytest.approx(feet, abs=1e-6)


def test_at_1_20_m_it_is_what_the_british_table_leaves_over() -> None:
    """7.90 m vertical to vertical less a 12-ft stride leaves 2.12 m each [S3]; here 1.98 m."""
    plan = ridden("jump: birch", "line: 7.9 m", "jump: hazel", fences=(BIRCH, beyond("7.9 m")),
                  level="1.20 m")  # fmt: skip
    left_over = (7.90 - 12 * FOOT) / 2
    assert plan.legs[1].ridden.ground.landing_m == pytest.approx(left_over, abs=0.15)


def test_a_bounce_is_landing_and_take_off_on_one_spot() -> None:
    plan = ridden("jump: birch", "line: bounce", "jump: hazel", fences=(BIRCH, beyond("11 ft")))
    landing, take_off = plan.legs[1].ridden.spots
    assert (landing.what, take_off.what) == ("landing", "take-off")
    assert landing.at_m == pytest.approx(5.5 * FOOT)
    assert take_off.at_m == pytest.approx(landing.at_m)


def test_trot_poles_have_a_step_half_way_between() -> None:
    """Poles 4'6" apart (BHS Manual, quoted [S8]): one step each, and the foot falls between."""
    pole = BIRCH.replace("kind: vertical", "kind: ground pole").replace(
        ", ground line: both sides", ""
    )
    fences = (pole, beyond("4'6\"", "kind: ground pole"))
    ride = ("start: trot", "jump: birch", "line: 4'6\"", "jump: hazel")
    leg = ridden(*ride, fences=fences).legs[1]
    assert leg.ridden.stretches[0].gait == "trot"
    assert {round(spot.at_m / FOOT, 3) for spot in leg.ridden.spots} == {2.25}


def test_steps_of_walk_are_eighty_centimetres() -> None:
    """Half the stride of 1.6 m, the middle of 1.4 to 1.8 m [S49]."""
    ride = ("jump: birch", "line: 10 strides, walk 5 steps in the middle", "jump: hazel")
    leg = ridden(*ride, fences=(BIRCH, beyond("132 ft"))).legs[1]
    steps = [spot for spot in leg.ridden.spots if spot.what == "step"]
    assert [spot.number for spot in steps] == [1, 2, 3, 4, 5]
    assert [spot.length_m for spot in steps] == pytest.approx([0.8] * 5)
    assert {spot.gait for spot in steps} == {"walk"}
    assert {spot.lead for spot in steps} == {None}


def test_a_pony_takes_smaller_steps() -> None:
    """In proportion: a medium pony's 10 ft 6 in [S1] against 12 ft makes 0.7 m of 0.8 m."""
    text = ridden("jump: birch").document.text.replace("12' stride", "medium pony")
    text = text.replace("fences:", "fences:\n  " + beyond("120 ft"))
    ride = "  - line: 10 strides, walk 4 steps in the middle\n  - jump: hazel\n"
    steps = [s for s in plan_text(text + ride).legs[1].ridden.spots if s.what == "step"]
    assert [step.length_m for step in steps] == pytest.approx([0.7] * 4)


def test_a_turn_without_a_count_is_ridden_in_whole_strides_near_the_normal_one() -> None:
    leg = ridden("jump: birch", "turn: left", "jump: birch").legs[1]
    strides = [spot.length_m for spot in leg.ridden.spots if spot.what == "stride"]
    assert len(strides) == leg.ridden.strides
    assert strides == pytest.approx([strides[0]] * len(strides))
    assert abs(strides[0] - 12 * FOOT) * len(strides) <= 6 * FOOT + 1e-9
