"""A fence at an angle: 1/cos, and a path cut through it by a general library."""

from __future__ import annotations

import math

import pytest
from ride_trials import ridden
from shapely import LineString, Polygon, affinity

from diagram.exercise.ends import effective_spread
from diagram.ride.angles import OnAnAngle, effective_front
from diagram.units import FOOT

FACTORS = {10: 1.0154, 20: 1.0642, 30: 1.1547, 45: 1.4142}
"""1/cos, as the table of angled fences has it (derived; "10° → ×1.015; 20° → ×1.064; 30° → ×1.155;
45° → ×1.414")."""


@pytest.mark.parametrize(("degrees", "factor"), FACTORS.items())
def test_the_spread_over_the_cosine(degrees: int, factor: float) -> None:
    angle = math.radians(degrees)
    assert effective_spread(1.0, angle) == pytest.approx(1 / math.cos(angle))
    assert effective_spread(1.0, angle) == pytest.approx(factor, abs=0.00005)
    assert effective_spread(1.0, -angle) == effective_spread(1.0, angle)
    assert effective_front(3.6, angle) == pytest.approx(3.6 / factor, abs=0.001)


def test_a_three_foot_fence_that_rides_four_to_five() -> None:
    """Published web article on angled fences [S40]: at 41° and 53° by the cosine."""
    assert effective_spread(3.0, math.radians(41.4)) == pytest.approx(4.0, abs=0.01)
    assert effective_spread(3.0, math.radians(53.13)) == pytest.approx(5.0, abs=0.01)


def _angled(degrees: int, side: str, kind: str = "oxer, spread: 2'6\"") -> OnAnAngle:
    fence = f"birch: {{kind: {kind}, at: [40 m, 20 m], facing: 0°, ground line: both sides}}"
    plan = ridden(f"jump: birch, angled {side} {degrees}°", fences=(fence,))
    found = plan.legs[0].angled
    assert found is not None
    return found


@pytest.mark.parametrize("degrees", FACTORS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_path_cut_through_the_fence(degrees: int, side: str) -> None:
    """The fence as a rectangle, the path a line through its middle, cut with shapely."""
    found = _angled(degrees, side)
    deep, wide = 2.5 * FOOT, 12 * FOOT
    box = Polygon([(-deep / 2, -wide / 2), (deep / 2, -wide / 2), (deep / 2, wide / 2),
                   (-deep / 2, wide / 2)])  # fmt: skip
    turn = degrees if side == "left" else -degrees
    path = affinity.rotate(LineString([(-9, 0), (9, 0)]), turn, origin=(0, 0))
    assert found.spread_m == pytest.approx(path.intersection(box).length)
    assert found.line_shorter_m == pytest.approx((path.intersection(box).length - deep) / 2)
    # A metre to the left, along the path: how much later it meets the middle of the fence.
    beside = affinity.translate(path, -math.sin(math.radians(turn)), math.cos(math.radians(turn)))
    middle = LineString([(0, -9), (0, 9)])
    along = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    meet, straight = beside.intersection(middle), path.intersection(middle)
    later = (meet.x - straight.x) * along[0] + (meet.y - straight.y) * along[1]
    assert found.later_on_the_left == pytest.approx(later)


def test_the_run_out_is_where_the_fence_falls_away() -> None:
    """Angled to the left, the left end of the fence is the further one."""
    assert _angled(20, "left").run_out == "left"
    assert _angled(20, "left").later_on_the_left > 0
    assert _angled(20, "right").run_out == "right"
    assert _angled(20, "right").later_on_the_left < 0


def test_a_vertical_has_no_spread_at_any_angle() -> None:
    found = _angled(45, "left", "vertical")
    assert found.spread_m == 0
    assert found.front_m == pytest.approx(12 * FOOT / math.sqrt(2))


def test_the_line_beside_it_is_shorter_by_what_the_fence_takes() -> None:
    """Two fences on a fixed place: base to base along the track, straight and with the second at
    20°. The oxer of 2 ft 6 in takes 2 ft 6 in x (1/cos 20° - 1) / 2 more on the near side."""
    oxer = "hazel: {kind: oxer, spread: 2'6\", at: [44 m, 10 m], facing: FACING}"
    birch = "birch: {kind: vertical, at: [20 m, 10 m], facing: 0°}"
    tracks = []
    for facing, said in (("0°", ""), ("-20°", ", angled left 20°")):
        ride = ("jump: birch", "line: 5 strides", f"jump: hazel{said}")
        plan = ridden(*ride, fences=(birch, oxer.replace("FACING", facing)))
        tracks.append(plan.legs[1].track_m)
        shorter = plan.legs[1].angled
    assert shorter is not None
    assert tracks[0] - tracks[1] == pytest.approx(shorter.line_shorter_m, abs=1e-9)
    assert shorter.line_shorter_m == pytest.approx(2.5 * FOOT * (1.0641778 - 1) / 2, abs=1e-6)


def test_straight_is_no_angle() -> None:
    assert ridden("jump: birch").legs[0].angled is None
