"""Walk, trot and halt inside a line: places, both canters, and what is missing, by hand."""

from __future__ import annotations

import pytest
from ride_trials import BIRCH, beyond, ridden

from diagram.ride import InAndOut
from diagram.units import FOOT

STRIDE = 12 * FOOT
SPEED = 6.0
"""m/s: the 360 m/min of the trials."""


def _crossed(distance: str, what: str, kind: str = "kind: vertical") -> InAndOut:
    ride = ("jump: birch", f"line: {distance}, {what}", "jump: hazel")
    found = ridden(*ride, fences=(BIRCH, beyond(distance, kind))).legs[1].ridden.in_and_out
    assert found is not None
    return found


def test_a_walk_in_the_middle_has_the_same_canter_on_both_sides() -> None:
    """132 ft less 4 m of walk are 18.1168 m on each side; less 6 ft to land or take off 16.2880 m,
    which is four strides and a half: five of 3.2576 m."""
    found = _crossed("132 ft", "walk 5 steps in the middle")
    side = (132 * FOOT - 4.0) / 2
    assert found.begin_m == pytest.approx(side)
    assert found.end_m == pytest.approx(side + 4.0)
    assert found.canter_in == found.canter_out
    assert found.canter_in.strides == 5
    assert found.canter_in.stride_m == pytest.approx((side - 6 * FOOT) / 5)
    assert found.canter_in.seconds == pytest.approx(side / SPEED)
    assert found.canter_in.speed == pytest.approx(SPEED)
    assert found.difference() == "no difference"


def test_it_is_asked_for_two_strides_before() -> None:
    """ "canter to walk: low 2": common practice, no source."""
    found = _crossed("132 ft", "walk 5 steps in the middle")
    assert found.begin_m - found.ask_m == pytest.approx(2 * STRIDE)


def test_after_three_strides_the_canter_out_is_longer_by_so_much() -> None:
    """Landing at 6 ft and three strides: the walk begins at 42 ft and ends 4 m on. Out remain
    132 ft - 42 ft - 4 m = 23.4320 m, less 6 ft: 21.6032 m, 5.9 strides, so six of 3.6005 m."""
    found = _crossed("132 ft", "walk 5 steps after 3 strides")
    assert found.begin_m == pytest.approx(42 * FOOT)
    assert (found.canter_in.strides, found.canter_out.strides) == (3, 6)
    assert found.canter_in.stride_m == pytest.approx(STRIDE)
    out = 132 * FOOT - 42 * FOOT - 4.0
    assert found.canter_out.length_m == pytest.approx(out)
    assert found.canter_out.stride_m == pytest.approx((out - 6 * FOOT) / 6)
    # 23.4320 - 12.8016 m is 34 ft 11 in; 1.77 s at 6 m/s; 3.6576 - 3.6005 m a stride.
    words = found.difference()
    assert words.startswith('3 strides more, 34\'11" longer, 1.8 s more, each stride 2" shorter')
    # In one rhythm: 57 mm of 3.6576 m at 6 m/s, in metres a minute.
    assert found.slower_by * 60 == pytest.approx((STRIDE - (out - 6 * FOOT) / 6) / STRIDE * 360)


def test_a_halt_has_one_place_and_its_seconds() -> None:
    ride = ("jump: birch", "line: 8 strides, halt 4 seconds in the middle", "jump: hazel")
    leg = ridden(*ride, fences=(BIRCH, beyond("108 ft"))).legs[1]
    crossed = leg.ridden.in_and_out
    assert crossed is not None
    assert crossed.begin_m == crossed.end_m == pytest.approx(54 * FOOT)
    assert leg.seconds == pytest.approx(108 * FOOT / SPEED + 4.0)
    assert [spot.what for spot in leg.ridden.spots].count("halt") == 1


def test_five_seconds_of_walk_are_so_long() -> None:
    """100 m/min, the middle of 80 to 120 [S47], for 5 s: 8.33 m."""
    found = _crossed("156 ft", "walk 5 seconds in the middle")
    assert found.end_m - found.begin_m == pytest.approx(100 / 60 * 5)


def test_steps_of_trot() -> None:
    """1.40 m a step, as the poles of [S26]."""
    found = _crossed("132 ft", "trot 4 steps in the middle")
    assert found.end_m - found.begin_m == pytest.approx(4 * 1.40)


def test_by_how_much_there_is_no_room() -> None:
    """36 ft with 4 m of walk: 6 ft and one stride of 12 ft are wanted on each side, there are
    (10.9728 - 4) / 2 = 3.4864 m of 5.4864 m."""
    found = _crossed("36 ft", "walk 5 steps in the middle")
    assert found.short_before_m == pytest.approx(2.0)
    assert found.short_after_m == pytest.approx(2.0)


def test_a_walk_begun_too_late_is_short_on_the_way_out_only() -> None:
    found = _crossed("96 ft", "walk 5 steps after 6 strides")
    assert found.short_before_m == 0
    # 6 + 72 ft + 4 m + 12 + 6 ft are 4 m more than 96 ft.
    assert found.short_after_m == pytest.approx(4.0)


def test_with_no_stride_left_there_is_no_stride_to_compare() -> None:
    """60 ft: 6 ft and four strides are 54 ft, and the last 6 ft are the take-off."""
    found = _crossed("60 ft", "halt 4 seconds after 4 strides")
    assert (found.canter_in.strides, found.canter_out.strides) == (4, 0)
    assert found.short_after_m == pytest.approx(STRIDE)
    # 54 ft and 6 ft: 48 ft, 14.63 m, 2.4 s at 6 m/s.
    assert found.difference() == "4 strides fewer, 48' shorter, 2.4 s less"
