"""Corners of radius 1 m against quadrature, and circles that come back to their line."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy.integrate import quad

from diagram.geometry.corner import (
    EASE,
    SHARPEST,
    TABLE_STEP,
    circle_pieces,
    corner_pieces,
    reach,
    run,
    shape_table,
)
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose, wrap

EXACT = 1e-9
"""Metres on a radius of 1 m: quad is asked for 1e-12 and reach sums two short pieces."""

turns = some.floats(math.radians(0.5), SHARPEST)


def heading_by_hand(s: float, turn: float) -> float:
    """Heading after `s` metres of the first half of a corner of radius 1 m.

    A clothoid that turns EASE of the whole ends at curvature 1, so it is twice as long as it
    turns, and its heading grows with the square of the way.
    """
    ease = 2 * EASE * turn
    return s * s / (2 * ease) if s < ease else ease / 2 + (s - ease)


def reach_by_hand(turn: float) -> float:
    """The tangent length X + Y tan(turn / 2) of road design, with X and Y by quadrature."""
    half = (turn + 2 * EASE * turn) / 2
    breaks = [2 * EASE * turn]
    x = quad(lambda s: math.cos(heading_by_hand(s, turn)), 0, half, points=breaks, epsabs=1e-12)
    y = quad(lambda s: math.sin(heading_by_hand(s, turn)), 0, half, points=breaks, epsabs=1e-12)
    return x[0] + y[0] * math.tan(turn / 2)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(turns)
def test_reach_agrees_with_quadrature(turn: float) -> None:
    # Beside the tolerance of quad, tan(turn / 2) magnifies Y up to 7.6 times at SHARPEST.
    assert reach(turn) == pytest.approx(reach_by_hand(turn), abs=EXACT)
    assert reach(-turn) == reach(turn)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(turns, some.floats(0.5, 60))
def test_run_is_the_length_of_the_corner(turn: float, radius: float) -> None:
    curve = Curve.of(Pose(0, 0, 0), corner_pieces(turn, radius))
    # Two clothoids of 2 EASE turn r and an arc of (1 - 2 EASE) turn r.
    by_hand = 2 * (2 * EASE * turn) + (1 - 2 * EASE) * turn
    assert float(run(turn)) == pytest.approx(by_hand, abs=EXACT)
    assert curve.length == pytest.approx(radius * by_hand, abs=radius * EXACT)
    assert curve.turn == pytest.approx(turn, abs=EXACT)
    assert curve.min_radius == pytest.approx(radius)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(turns, some.floats(0.5, 30), some.booleans())
def test_a_corner_ends_on_the_other_line(turn: float, radius: float, left: bool) -> None:
    signed = turn if left else -turn
    curve = Curve.of(Pose(0, 0, 0), corner_pieces(signed, radius))
    back = radius * reach(turn)
    expected = Pose(back, 0.0, signed).ahead(back)
    assert curve.end.distance(expected.point) < radius * EXACT * 10
    assert abs(wrap(curve.end.heading - signed)) < EXACT


@pytest.mark.parametrize("degrees", [5, 30, 45, 90, 135, 165])
def test_an_eased_corner_needs_more_room_than_an_arc(degrees: int) -> None:
    turn = math.radians(degrees)
    arc_reach = math.tan(turn / 2)
    assert reach(turn) > arc_reach
    assert float(run(turn)) == pytest.approx(turn * (1 + 2 * EASE))


def test_the_transition_of_an_8_m_corner() -> None:
    """The worked figure beside EASE: a clothoid of 3.1 m at 8 m through 90 degrees."""
    ease = corner_pieces(math.pi / 2, 8.0)[0]
    assert ease.length == pytest.approx(math.pi, abs=EXACT)  # 2 x 8 x 0.125 x pi/2


def test_curvature_of_a_corner_is_continuous_and_ends_at_nought() -> None:
    first, arc, last = corner_pieces(-1.2, 7.0)
    assert (first.k0, last.k1) == (0.0, 0.0)
    assert first.k1 == arc.k0 == arc.k1 == last.k0 == -1 / 7


def test_the_table_is_as_good_as_it_says() -> None:
    """Within 1e-4 of the radius, its own claim, up to the sharpest corner it holds."""
    table_turns, reaches, shapes = shape_table()
    assert np.all(np.diff(table_turns) == pytest.approx(TABLE_STEP))
    for turn, found in zip(table_turns[1:], reaches[1:], strict=True):
        # The claim is of shapes; tan(turn / 2) magnifies it in the reach of a sharp corner.
        assert found == pytest.approx(reach(float(turn)), abs=1e-4 * (1 + math.tan(turn / 2)))
    ease = 1 + 2 * EASE
    for turn, shape in zip(table_turns[1::10], shapes[1::10], strict=True):
        curve = Curve.of(Pose(0, 0, 0), corner_pieces(float(turn), 1.0))
        line = curve.points(ease / 2000)
        for place in shape:
            assert np.hypot(*(line - place).T).min() < 1e-3  # places to half a step of the line


@settings(max_examples=60, deadline=None, derandomize=True)
@given(some.sampled_from([1, -1]), some.floats(3, 12), some.floats(0.2, 3))
def test_a_circle_ends_on_its_own_line(sign: int, radius: float, ease: float) -> None:
    curve = Curve.of(Pose(0, 0, 0), circle_pieces(sign, radius, ease))
    assert curve.turn == pytest.approx(sign * 2 * math.pi, abs=EXACT)
    assert abs(curve.end.y) < 1e-8  # a sum of some ten quadratures on tens of metres
    assert abs(curve.end.heading) < EXACT
    assert curve.length == pytest.approx(2 * math.pi * radius + ease, abs=EXACT)
    # A clothoid carries the middle of the circle half its length on, less a cubic term
    # ease^3 / (240 r^2); the circle's two clothoids carry the end by twice that.
    shift = ease - ease**3 / (120 * radius**2)
    assert curve.end.x == pytest.approx(shift, abs=ease**5 / radius**4 / 1000 + 1e-8)
