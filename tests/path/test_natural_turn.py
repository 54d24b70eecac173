"""Turns nobody described: they end where they must, run smoothly and keep what they can."""

from __future__ import annotations

import itertools
import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from msgspec.structs import replace

from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.region import Region
from diagram.path.limits import limits_for
from diagram.path.measures import straight_after
from diagram.path.natural_turn import natural_turn
from diagram.path.room import FREE_AFTER, Manner, Room
from diagram.trade.horses import Horses

END_M = 1e-6
END_RAD = 1e-9
SMOOTH = 1e-9
"""1/m. Neighbouring pieces take their common curvature from the same number."""
SAMPLED = 0.06
"""Metres. The search looks at a handful of places on each corner and straight, so the track
may come nearer to the rail in between: 0.03 m is the worst measured in 200 wide turns."""
REGION = Region.of(((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)))
NO_FENCES = Room(REGION, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))


@cache
def manner() -> Manner:
    return limits_for(Horses("horse", 3.66)).canter.manner


@some.composite
def rooms(draw: some.DrawFn) -> Room:
    count = draw(some.integers(0, 3))
    xs, ys = some.floats(6, 54), some.floats(6, 24)
    a = np.array([[draw(xs), draw(ys)] for _ in range(count)]).reshape(-1, 2)
    angles = np.array([draw(some.floats(0, math.pi)) for _ in range(count)])
    b = a + 3.5 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return Room(REGION, a, b, np.full(count, 0.4))


headings = some.floats(-3.1, 3.1)


@some.composite
def tasks(draw: some.DrawFn) -> tuple[Pose, Pose]:
    """Fences with ground ahead to land on, and ground behind to come from."""
    middle = (some.floats(22, 38), some.floats(13, 17))
    start = Pose(draw(middle[0]), draw(middle[1]), draw(headings)).ahead(-draw(some.floats(2, 9)))
    end = Pose(draw(middle[0]), draw(middle[1]), draw(headings)).ahead(draw(some.floats(2, 9)))
    return start, end


def same(one: Curve, other: Curve, within: float) -> bool:
    if abs(one.length - other.length) > within:
        return False
    s = np.linspace(0, one.length, 50)
    (x, y, _, _), (u, v, _, _) = one.locate(s), other.locate(s)
    return float(np.hypot(x - u, y - v).max()) <= within


@settings(max_examples=40, deadline=None, derandomize=True)
@given(tasks(), rooms(), some.booleans())
def test_any_turn_is_a_smooth_line_between_its_poses(
    task: tuple[Pose, Pose], room: Room, left: bool
) -> None:
    start, end = task
    curve = natural_turn(start, end, left, room, manner())
    assert curve.start.distance(start.point) < END_M
    assert curve.end.distance(end.point) < END_M
    assert abs(wrap(curve.end.heading - end.heading)) < END_RAD
    assert (curve.turn > 0) is left
    assert abs(curve.pieces[0].k0) < SMOOTH
    assert abs(curve.pieces[-1].k1) < SMOOTH
    for one, other in itertools.pairwise(curve.pieces):
        assert abs(one.k1 - other.k0) < SMOOTH
    knots = np.cumsum([p.length for p in curve.pieces])[:-1]
    before, after = curve.locate(knots - 1e-9), curve.locate(knots)
    for a, b in zip(before[:3], after[:3], strict=True):
        np.testing.assert_allclose(a, b, atol=1e-7)  # 1e-9 m on, at a curvature of at most 2


@settings(max_examples=12, deadline=None, derandomize=True)
@given(tasks(), rooms(), some.booleans())
def test_the_mirrored_task_has_the_mirrored_line_every_time(
    task: tuple[Pose, Pose], room: Room, left: bool
) -> None:
    start, end = task
    curve = natural_turn(start, end, left, room, manner())
    mirror = natural_turn(start.mirrored(), end.mirrored(), not left, room.mirrored(), manner())
    assert same(curve.mirrored(), mirror, 1e-6)
    assert natural_turn(start, end, left, room, manner()) == curve


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    some.floats(12, 25), some.floats(4, 5), some.floats(-0.05, 0.05),
    some.floats(12, 30), some.floats(25, 26), some.booleans(),
)  # fmt: skip
def test_a_turn_with_room_keeps_its_limits(
    x: float, y: float, lean: float, back_x: float, back_y: float, left: bool
) -> None:
    """Up one side and back along the other: 20 m between, and two least radii are 15 m."""
    start, end = Pose(x, y, lean), Pose(back_x, back_y, math.pi + lean)
    room = NO_FENCES
    if not left:
        start, end, room = start.mirrored(), end.mirrored(), room.mirrored()
    curve = natural_turn(start, end, left, room, manner())
    # A route's radii are let down by 0.05 % against the rounding of its table.
    assert curve.min_radius >= manner().least_radius * 0.999
    assert room.region.inside(curve.points(0.05)).min() >= manner().rail - SAMPLED
    assert curve.tightest < 1 / 0.5


@pytest.mark.parametrize("x", [24.0, 30.0, 36.0])
def test_a_fence_in_the_way_is_gone_round(x: float) -> None:
    """A wide wall of fences across the middle: far longer than the places looked at are apart."""
    start, end = Pose(15, 4.5, 0), Pose(15, 25.5, math.pi)
    room = Room(REGION, np.array([[15.0, 15.0]]), np.array([[x, 15.0]]), np.array([0.4]))
    curve = natural_turn(start, end, True, room, manner())
    points = curve.points(0.05)
    away = np.minimum(np.hypot(*(points - start.point).T), np.hypot(*(points - end.point).T))
    assert room.clearance(points[away > FREE_AFTER]).min() >= manner().fences - SAMPLED
    assert curve.min_radius >= manner().least_radius * 0.999


def test_no_corner_is_a_point() -> None:
    """Near poses that face away from each other: tight, but never on the spot."""
    start = Pose(24.3392860618659, 13.0135058744837, -1.60713475396784)
    end = Pose(36.9117962588536, 24.795003276389416, 0.19247028345729467)
    curve = natural_turn(start, end, True, NO_FENCES, manner())
    assert curve.tightest < 1 / 0.5


def test_a_single_fence_beside_the_turn_is_kept_clear_of() -> None:
    start = Pose(11.550424819149283, 5.4966648527003035, -0.01778389596365834)
    end = Pose(11.551152647377194, 22.61284621022072, 3.194138728293108)
    fence = (np.array([[31.61187145, 14.0]]), np.array([[33.51748462, 16.0]]))
    room = Room(REGION, *fence, np.array([0.4]))
    curve = natural_turn(start, end, True, room, manner())
    assert room.clearance(curve.points(0.05)).min() >= manner().fences - SAMPLED


def test_room_ends_where_an_obstacle_begins() -> None:
    """A fence 0.8 m thick, two metres from its middle: 1.6 m are clear."""
    room = Room(REGION, np.array([[20.0, 10.0]]), np.array([[20.0, 14.0]]), np.array([0.4]))
    assert room.clearance(np.array([[22.0, 12.0]])) == pytest.approx([1.6])


def test_of_a_straight_that_cannot_be_had_the_larger_half_is_ridden() -> None:
    """Landing 16 m before the rail there are no 2 straight strides and a fair turn: of what a turn
    ridden as it comes lacks of them (common practice), the larger half is made good."""
    start, end = Pose(44, 8, 0), Pose(30, 22, math.pi)
    wanted = manner().wanted_straight
    lacking = [
        wanted - straight_after(natural_turn(start, end, True, NO_FENCES, how))
        for how in (manner(), replace(manner(), wanted_straight=manner().out))
    ]
    assert 0 < lacking[0] < lacking[1] / 2
