"""Tight over two strides of travel, and straight: against a slow count along the curve."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from diagram.geometry.corner import arc_pieces, bend_pieces, circle_pieces
from diagram.geometry.curve import Curve, CurvePiece
from diagram.geometry.pose import Pose
from diagram.path.bends import round_bend
from diagram.path.measures import straight_after, straight_before, tightness

STRIDE = 3.66
ORIGIN = Pose(0, 0, 0)


def counted(curve: Curve, window: float) -> float:
    """The same by brute force: radians to each hand summed over windows a centimetre apart."""
    s = np.arange(0, curve.length, 0.01)
    _, _, _, bends = curve.locate(s + 0.005)
    most = 0.0
    for hand in (1, -1):
        turned = np.concatenate([[0.0], np.cumsum(np.maximum(bends * hand, 0.0) * 0.01)])
        width = min(round(window / 0.01), len(turned) - 1)
        most = max(most, float((turned[width:] - turned[:-width]).max()))
    return window / most if most else math.inf


turns = some.floats(0.2, 3.1).flatmap(lambda t: some.sampled_from([t, -t]))
corners = some.tuples(turns, some.floats(3, 20), some.floats(0, 12))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(some.lists(corners, min_size=1, max_size=3))
def test_tight_is_as_tight_as_counted(said: list[tuple[float, float, float]]) -> None:
    pieces: tuple[CurvePiece, ...] = ()
    for turn, radius, straight in said:
        pieces += bend_pieces(turn, radius, straight, straight)
    curve = Curve.of(ORIGIN, pieces)
    window = min(2 * STRIDE, curve.length)
    # Windows begin a centimetre apart: half of that at each end, of 7.32 m.
    assert tightness(curve, STRIDE).radius_m == pytest.approx(counted(curve, window), rel=0.01)


def test_a_half_circle_of_15_m_is_7_and_a_half_m_tight() -> None:
    curve = Curve.of(ORIGIN, bend_pieces(math.pi, 7.5, 6.0, 6.0))
    found = tightness(curve, STRIDE)
    assert found.radius_m == pytest.approx(7.5)
    assert found.at_m == pytest.approx(curve.length / 2)


def test_a_swing_of_half_a_stride_is_no_turn() -> None:
    """Ten degrees on a radius of 3 m is half a metre of track: 42 m over two strides."""
    curve = Curve.of(ORIGIN, bend_pieces(math.radians(10), 3.0, 10.0, 10.0))
    assert curve.min_radius == pytest.approx(3.0)
    assert tightness(curve, STRIDE).radius_m == pytest.approx(2 * STRIDE / math.radians(10))


def test_straight_is_what_is_straight() -> None:
    curve = Curve.of(ORIGIN, bend_pieces(1.0, 7.5, 5.0, 9.0))
    # A radius of 60 m is reached after an eighth of the ease of 0.75 m.
    assert straight_after(curve) == pytest.approx(5 + 0.75 / 8)
    assert straight_before(curve) == pytest.approx(9 + 0.75 / 8)


def test_a_quarter_of_an_18_m_circle() -> None:
    """Pure geometry: a quarter of 18 pi m is 14.137 m, its chord 12.728 m."""
    start, end = Pose(0, -9, 0), Pose(9, 0, math.pi / 2)
    curve = round_bend(start, end)
    assert curve is not None
    assert curve.length == pytest.approx(14.137, abs=5e-4)
    assert math.dist(start.point, curve.end.point) == pytest.approx(12.728, abs=5e-4)
    assert curve.end.distance(end.point) < 1e-9
    assert tightness(curve, STRIDE).radius_m == pytest.approx(9.0)


def test_twenty_metres_through_thirty_degrees_said_round() -> None:
    """R = 20 m: the arc is 10.472 m, the chord 2 R sin 15 degrees = 10.353 m."""
    arc = Curve.of(ORIGIN, arc_pieces(math.radians(30), 20.0))
    curve = round_bend(ORIGIN, arc.end)
    assert curve is not None
    assert curve.length == pytest.approx(10.472, abs=5e-4)
    assert math.dist(ORIGIN.point, arc.end.point) == pytest.approx(10.353, abs=5e-4)


def test_a_circle_is_as_tight_as_it_is_wide() -> None:
    curve = Curve.of(ORIGIN, circle_pieces(1, 10.0, 1.0))
    assert tightness(curve, STRIDE).radius_m == pytest.approx(10.0)
