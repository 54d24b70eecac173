"""Turns read off a curve, against the curvature sampled every centimetre."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagram.geometry.corner import circle_pieces
from diagram.geometry.curve import Curve, CurvePiece
from diagram.geometry.pose import Pose
from diagram.ride.turns import NEARLY_STRAIGHT, turns_of

START = Pose(0, 0, 0)


def _corner(radius: float, angle: float) -> tuple[CurvePiece, ...]:
    """Clothoid, arc, clothoid that turn through `angle` (left positive) altogether."""
    k = math.copysign(1 / radius, angle)
    ease = abs(angle) * radius / 3
    arc = abs(angle) * radius - ease
    return (CurvePiece(ease, 0.0, k), CurvePiece(arc, k, k), CurvePiece(ease, k, 0.0))


def _curve(*parts: tuple[CurvePiece, ...]) -> Curve:
    straight = (CurvePiece(8.0),)
    return Curve.of(START, tuple(p for part in parts for p in (*part, *straight)))


@settings(max_examples=60, deadline=None)
@given(radius=st.floats(5, 20), angle=st.floats(0.6, 4.0), left=st.booleans())
def test_one_corner(radius: float, angle: float, left: bool) -> None:
    signed = angle if left else -angle
    curve = _curve((CurvePiece(5.0),), _corner(radius, signed))
    [turn] = turns_of(curve)
    assert turn.angle == pytest.approx(signed)
    assert turn.radius_m == pytest.approx(radius)
    assert turn.hand == ("left" if left else "right")
    s = np.arange(0, curve.length, 0.01)
    bent = s[np.abs(curve.locate(s)[3]) > NEARLY_STRAIGHT]
    # Sampled every centimetre, so to two of them.
    assert turn.begin_m == pytest.approx(bent[0], abs=0.02)
    assert turn.end_m == pytest.approx(bent[-1], abs=0.02)


def test_two_corners_to_one_hand_are_one_turn() -> None:
    [turn] = turns_of(_curve(_corner(8, math.pi / 2), _corner(9, math.pi / 2)))
    assert turn.angle == pytest.approx(math.pi)
    assert turn.radius_m == pytest.approx(8)


def test_left_and_right_are_two() -> None:
    first, second = turns_of(_curve(_corner(8, 1.5), _corner(8, -1.5)))
    assert (first.hand, second.hand) == ("left", "right")
    assert first.end_m < second.begin_m


def test_a_slight_swing_parts_nothing() -> None:
    swing = _corner(20, -math.radians(6))
    [turn] = turns_of(_curve(_corner(8, 1.5), swing, _corner(8, 1.5)))
    assert turn.angle == pytest.approx(3.0)


def test_a_gentle_bend_is_no_turn() -> None:
    assert turns_of(_curve(_corner(15, math.radians(29)))) == ()
    assert len(turns_of(_curve(_corner(15, math.radians(31))))) == 1


def test_a_circle_is_a_turn_all_round() -> None:
    [turn] = turns_of(Curve.of(START, circle_pieces(-1, 10.0, 3.0)))
    assert turn.hand == "right"
    assert turn.angle == pytest.approx(-2 * math.pi, abs=0.01)
