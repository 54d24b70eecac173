"""Bends of a wanted length: to the millimetre, within their limits, the same both ways round."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy.integrate import quad

from diagram.geometry.bend import bend, bend_of
from diagram.geometry.corner import EASE, reaches
from diagram.geometry.curve import Curve
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.route import build

MILLIMETRE = 1e-3
ROUNDING = 1e-8
"""Metres. Sums of a few quadratures of up to 1e2 m."""
FOOT = 0.3048  # exact: NIST SP 811, appendix B.8

turns = some.floats(math.radians(3), math.radians(150))
arms = some.floats(8, 40)


def between(turn: float, a: float, b: float) -> tuple[Pose, Pose]:
    """Two poses whose lines meet `a` metres ahead of the one and `b` behind the other."""
    start = Pose(0, 0, 0)
    return start, Pose(a, 0, turn).ahead(b)


def length_by_quadrature(curve: Curve) -> float:
    """Length from the places alone: the integral of the speed by central differences."""
    h = 1e-4

    def speed(s: float) -> float:
        x, y, _, _ = curve.locate(np.array([s - h, s + h]))
        return float(np.hypot(x[1] - x[0], y[1] - y[0])) / (2 * h)

    return float(quad(speed, h, curve.length - h, limit=100)[0]) + 2 * h


def tangent_and_track(turn: float, radius: float, ends: float) -> tuple[float, float]:
    """Distance to the vertex and track of an eased bend, from road design and quadrature."""
    ease = min(EASE, turn) * radius
    arc = turn * radius - ease

    def angle(s: float) -> float:
        return s * s / (2 * ease * radius) if s < ease else ease / 2 / radius + (s - ease) / radius

    half = ease + arc / 2
    x = quad(lambda s: math.cos(angle(s)), 0, half, points=[ease])[0]
    y = quad(lambda s: math.sin(angle(s)), 0, half, points=[ease])[0]
    return ends + x + y * math.tan(turn / 2), 2 * (ends + half)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(turns, arms, arms, some.floats(0, 1), some.booleans())
def test_a_bend_is_as_long_as_asked(
    turn: float, a: float, b: float, share: float, left: bool
) -> None:
    start, end = between(turn if left else -turn, a, b)
    widest = bend(start, end, 2.0, 1.0)
    if widest is None:
        return
    wanted = widest.shortest + share * (widest.longest - widest.shortest)
    found = bend(start, end, 2.0, 1.0, wanted)
    assert found is not None
    # A gentle corner saves so little that the division loses digits: well under 1 mm even so.
    assert found.curve.length == pytest.approx(wanted, abs=1e-6)
    assert found.curve.end.distance(end.point) < ROUNDING
    assert abs(wrap(found.curve.end.heading - end.heading)) < 1e-12
    assert min(found.before, found.after) >= 2.0 - ROUNDING
    assert found.radius >= 1.0


@pytest.mark.parametrize("degrees", [10, 45, 90, 140])
def test_length_agrees_with_quadrature_to_the_millimetre(degrees: int) -> None:
    start, end = between(math.radians(degrees), 25, 18)
    widest = bend(start, end, 1.0, 2.0)
    assert widest is not None
    wanted = (widest.shortest + widest.longest) / 2
    found = bend(start, end, 1.0, 2.0, wanted)
    assert found is not None
    assert length_by_quadrature(found.curve) == pytest.approx(wanted, abs=MILLIMETRE)


def test_five_strides_through_45_degrees() -> None:
    """Five 12-ft strides with a landing and a take-off of 6 ft are 72 ft of track.

    Derived here, not read anywhere: tangent, track and chord by quadrature. The ends are
    kept straight for 6 ft, and the radius follows from the length.
    """
    turn, track, ends = math.radians(45), 72 * FOOT, 6 * FOOT
    radius = (track - 2 * ends) / (turn + EASE)
    tangent, by_hand = tangent_and_track(turn, radius, ends)
    assert by_hand == pytest.approx(track, abs=MILLIMETRE)
    curve = bend_of(Pose(0, 0, 0), turn, track, ends, 5.0)
    assert curve.length == pytest.approx(track, abs=MILLIMETRE)
    chord = math.hypot(curve.end.x, curve.end.y)
    assert chord == pytest.approx(2 * tangent * math.cos(turn / 2), abs=MILLIMETRE)
    assert curve.min_radius == pytest.approx(radius)
    # From an arc of 45 degrees with no straights at all the chord is 2 r sin(turn / 2), with
    # r = track / turn: shorter by 1.8 ft. Straight ends sharpen the bend and take more.
    plain = track - 2 * (track / turn) * math.sin(turn / 2)
    assert plain < track - chord < track - track * math.cos(turn / 2)


def test_the_bending_line_with_plain_arcs_and_with_eased_ones() -> None:
    """R = 20 m through 30 degrees with as much straight as makes the track 21.946 m (72 ft).

    A plain arc by the formulas of school geometry: arc 10.472, tangent 5.359, chord 21.435. An
    eased corner of the same radius begins sooner, so the same bend has shorter straights.
    """
    turn, radius, track = math.radians(30), 20.0, 72 * FOOT
    arc, tangent = radius * turn, radius * math.tan(turn / 2)
    straight = (track - arc) / 2
    chord = 2 * (straight + tangent) * math.cos(turn / 2)
    # Three places: the figures above are given to the millimetre.
    assert (round(arc, 3), round(tangent, 3), round(chord, 3)) == (10.472, 5.359, 21.435)
    eased_straight = (track - radius * (turn + EASE)) / 2
    curve = bend_of(Pose(0, 0, 0), turn, track, eased_straight, 1.0)
    assert curve.min_radius == pytest.approx(radius)
    eased_tangent, eased_track = tangent_and_track(turn, radius, eased_straight)
    assert eased_track == pytest.approx(track, abs=MILLIMETRE)
    eased_chord = math.hypot(curve.end.x, curve.end.y)
    assert eased_chord == pytest.approx(2 * eased_tangent * math.cos(turn / 2), abs=MILLIMETRE)
    # Easing changes the bend by a few centimetres at most: less than a tape lays out.
    assert eased_chord == pytest.approx(chord, abs=0.05)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(turns, arms)
def test_lengths_out_of_reach_are_the_nearest_that_can_be(turn: float, arm: float) -> None:
    start, end = between(turn, arm, arm)
    widest = bend(start, end, 0.0, 0.5)
    if widest is None:
        return
    too_short = bend(start, end, 0.0, 0.5, widest.shortest - 1)
    too_long = bend(start, end, 0.0, 0.5, widest.longest + 1)
    assert too_short is not None
    assert too_long is not None
    assert too_short.curve.length == pytest.approx(widest.shortest, abs=ROUNDING)
    assert too_long.curve.length == pytest.approx(widest.longest, abs=ROUNDING)
    assert too_long.radius == pytest.approx(0.5)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(turns, arms, arms)
def test_ridden_backwards_or_mirrored_it_is_the_same_bend(turn: float, a: float, b: float) -> None:
    start, end = between(turn, a, b)
    one = bend(start, end, 1.0, 1.0)
    back = bend(end.reversed(), start.reversed(), 1.0, 1.0)
    mirror = bend(start.mirrored(), end.mirrored(), 1.0, 1.0)
    if one is None or back is None or mirror is None:
        assert one is back is mirror is None
        return
    middle = one.curve.pose_at(one.curve.length / 2)
    assert back.curve.pose_at(back.curve.length / 2).distance(middle.point) < 1e-6
    other = mirror.curve.pose_at(mirror.curve.length / 2)
    assert other.distance(middle.mirrored().point) < 1e-6
    assert back.radius == pytest.approx(one.radius)
    assert mirror.radius == pytest.approx(one.radius)


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (Pose(0, 0, 0), Pose(20, 0, 0)),
        (Pose(0, 0, 0), Pose(20, 3, math.radians(0.2))),
        (Pose(0, 0, 0), Pose(-20, 5, 1.0)),
        (Pose(0, 0, 0), Pose(5, 15, math.radians(170))),
    ],
)
def test_no_single_corner_joins_these(start: Pose, end: Pose) -> None:
    assert bend(start, end, 0.0, 0.5) is None


def test_a_14_m_bend_of_72_ft_is_laid_out_3_and_a_half_feet_shorter() -> None:
    """Through 45 degrees. Derived: 12.40 m of corner, so 4.77 m of straight at either end."""
    turn, radius, track = math.radians(45), 14.0, 72 * FOOT
    straight = (track - radius * (turn + EASE)) / 2
    tangent, _ = tangent_and_track(turn, radius, straight)
    short = track - 2 * tangent * math.cos(turn / 2)
    curve = bend_of(Pose(0, 0, 0), turn, track, straight, 5.0)
    assert track - math.hypot(curve.end.x, curve.end.y) == pytest.approx(short, abs=MILLIMETRE)
    # 3.64 ft at exactly 14 m, which is three and a half to the half foot.
    assert round(2 * short / FOOT) / 2 == 3.5


def test_a_bend_too_short_for_its_turn_is_all_bend() -> None:
    made = bend_of(Pose(0, 0, 0), math.pi / 2, length=5.0, straight=2.0, smallest=9.0)
    assert made.length == pytest.approx(5.0, abs=MILLIMETRE)
    assert wrap(made.end.heading - math.pi / 2) == pytest.approx(0.0, abs=ROUNDING)
    assert made.min_radius < 9.0


def test_a_route_ends_where_it_should() -> None:
    start, end = Pose(0, 0, 0), Pose(20, 35, math.pi)
    made = build(start, np.array([[30.0, 0.0], [30.0, 35.0]]), np.array([7.0, 4.0]), end)
    assert made.end.distance(end.point) < ROUNDING
    assert made.min_radius == pytest.approx(4.0, abs=MILLIMETRE)


def test_slopes_of_a_reach_below_the_ease() -> None:
    """Against differences: the error of the middle one is h squared, some 1e-10."""
    turns, h = np.array([0.1, 0.3, 0.9]) * EASE, 1e-5
    reach, slope = reaches(turns)
    middle = (reaches(turns + h)[0] - reaches(turns - h)[0]) / (2 * h)
    assert slope == pytest.approx(middle, abs=1e-8)
    assert np.all(reach > 0)
