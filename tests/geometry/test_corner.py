"""Corners of radius 1 m against quadrature, and circles that come back to their line."""

from __future__ import annotations

import cmath
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
    arc_pieces,
    centres,
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


def corner_end(turn: float) -> complex:
    """Where a corner ends: as far beyond its centre, mirrored and turned, as it began before."""
    along, aside = (float(part) for part in centres(np.array(turn)))
    centre = complex(along, aside)
    return centre + centre.conjugate() * cmath.exp(1j * turn)


def heading_by_hand(s: float, turn: float) -> float:
    """Heading after `s` metres of the first half of a corner of radius 1 m.

    A clothoid that ends at curvature 1 is twice as long as it turns, and its heading grows with
    the square of the way.
    """
    ease = min(EASE, turn)
    return s * s / (2 * ease) if s < ease else ease / 2 + (s - ease)


def reach_by_hand(turn: float) -> float:
    """The tangent length X + Y tan(turn / 2) of road design, with X and Y by quadrature."""
    half = (turn + min(EASE, turn)) / 2
    breaks = [min(EASE, turn)]
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
    # Two clothoids as long as EASE, each turning half of that, and an arc for the rest.
    ease = min(EASE, turn)
    by_hand = 2 * ease + (turn - ease)
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
    assert float(run(turn)) == pytest.approx(turn + min(EASE, turn))


def test_a_half_circle_of_15_m_is_a_half_circle_of_15_m() -> None:
    """The worked figures beside EASE: 0.75 m of ease at 7.5 m, which shift the arc by 3 mm."""
    ease, arc, _ = corner_pieces(math.pi, 7.5)
    assert ease.length == pytest.approx(0.75)
    assert arc.length == pytest.approx(math.pi * 7.5 - 0.75)
    across = corner_end(math.pi).imag * 7.5
    assert across == pytest.approx(15 + 2 * 0.75**2 / (24 * 7.5), abs=1e-5)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(some.floats(0.01, 2 * math.pi))
def test_the_end_of_a_corner_in_closed_form_is_that_of_its_curve(turn: float) -> None:
    end = Curve.of(Pose(0, 0, 0), corner_pieces(turn, 1.0)).end
    found = corner_end(turn)
    assert (found.real, found.imag) == pytest.approx((end.x, end.y), abs=EXACT)


def test_curvature_of_a_corner_is_continuous_and_ends_at_nought() -> None:
    first, arc, last = corner_pieces(-1.2, 7.0)
    assert (first.k0, last.k1) == (0.0, 0.0)
    assert first.k1 == arc.k0 == arc.k1 == last.k0 == -1 / 7


def test_the_table_is_as_good_as_it_says() -> None:
    """Exact reaches, and places within 1e-3 of the radius, up to the sharpest corner it holds."""
    table_turns, reaches, shapes = shape_table()
    assert np.all(np.diff(table_turns) == pytest.approx(TABLE_STEP))
    for turn, found in zip(table_turns[1:], reaches[1:], strict=True):
        assert found == pytest.approx(reach(float(turn)), abs=EXACT)
    for turn, shape in zip(table_turns[1::10], shapes[1::10], strict=True):
        curve = Curve.of(Pose(0, 0, 0), corner_pieces(float(turn), 1.0))
        line = curve.points(1 / 2000)
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


@pytest.mark.parametrize("turn", [1.2, -1.2])
def test_a_plain_arc_is_an_arc_to_either_hand(turn: float) -> None:
    curve = Curve.of(Pose(0, 0, 0), arc_pieces(turn, 10))
    assert curve.length == pytest.approx(12)
    assert curve.turn == pytest.approx(turn)
    assert curve.end.point == pytest.approx(
        (10 * math.sin(1.2), math.copysign(10 * (1 - math.cos(1.2)), turn))
    )
