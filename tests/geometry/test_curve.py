"""Curves against quadrature, an independent clothoid library and polygon geometry."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from pyclothoids import Clothoid
from scipy.integrate import quad
from shapely import LineString, Point

from diagram.geometry.curve import PIECE_TURN, Curve, CurvePiece
from diagram.geometry.pose import Pose, wrap

QUADRATURE_M = 1e-7
"""Metres. quad is asked for 1e-11 a piece and the curve claims well under a micrometre."""
ROUNDING = 1e-9
"""Metres or radians. Sums of some tens of doubles of a size up to 1e3."""
HEADING_RAD = 1e-10
"""Radians. Heading is a closed form: only the rounding of a sum of at most 60 terms."""

START = Pose(3.0, -2.0, 0.7)
MIXED = (
    CurvePiece(5.0),
    CurvePiece(3.1, 0.0, 0.125),
    CurvePiece(9.4, 0.125, 0.125),
    CurvePiece(3.1, 0.125, 0.0),
    CurvePiece(4.0, 0.0, -0.2),
    CurvePiece(6.0, -0.2, 0.1),
    CurvePiece(2.0, 0.1, 0.0),
)

curvatures = some.floats(-0.6, 0.6)
piece_lists = some.lists(
    some.builds(CurvePiece, some.floats(0.01, 20.0), curvatures, curvatures), min_size=1, max_size=6
).map(tuple)
poses = some.builds(
    Pose, some.floats(-60, 60), some.floats(-60, 60), some.floats(-math.pi, math.pi)
)
curves = some.builds(Curve.of, poses, piece_lists)


def quadrature_end(start: Pose, pieces: tuple[CurvePiece, ...]) -> tuple[float, float, float]:
    """Where unsplit pieces lead: x' = cos of the heading, the heading being an integral too."""
    x, y, heading = start.x, start.y, start.heading
    for p in pieces:

        def angle(s: float, p: CurvePiece = p, at: float = heading) -> float:
            return at + p.k0 * s + (p.k1 - p.k0) / p.length * s * s / 2

        x += quad(lambda s: math.cos(angle(s)), 0, p.length, epsabs=1e-11, limit=200)[0]
        y += quad(lambda s: math.sin(angle(s)), 0, p.length, epsabs=1e-11, limit=200)[0]
        heading = angle(p.length)
    return x, y, heading


def heading_gap(a: float, b: float) -> float:
    return abs(wrap(a - b))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(poses, piece_lists)
def test_end_and_length_agree_with_quadrature(start: Pose, pieces: tuple[CurvePiece, ...]) -> None:
    curve = Curve.of(start, pieces)
    x, y, heading = quadrature_end(start, pieces)
    assert math.hypot(curve.end.x - x, curve.end.y - y) < QUADRATURE_M
    assert heading_gap(curve.end.heading, heading) < HEADING_RAD
    assert curve.length == pytest.approx(sum(p.length for p in pieces), abs=ROUNDING)
    assert curve.turn == pytest.approx(heading - start.heading, abs=HEADING_RAD)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(curves)
def test_speed_along_the_curve_is_one(curve: Curve) -> None:
    """Length from the places alone: the sum of |dx| tends to it from below."""
    count = math.ceil(curve.length / 0.01) + 1
    s = np.linspace(0, curve.length, count)
    x, y, _, _ = curve.locate(s)
    measured = LineString(np.stack([x, y], axis=1)).length
    # A chord of step h on curvature k is short by k^2 h^3 / 24, with k <= 0.6 and h <= 0.01.
    short = 0.6**2 * 0.01**2 / 24 * curve.length
    assert curve.length - short - ROUNDING <= measured <= curve.length + ROUNDING


@pytest.mark.parametrize("k0", [-0.2, 0.0, 0.05, 0.125])
@pytest.mark.parametrize("k1", [-0.125, 0.0, 0.1, 0.5])
@pytest.mark.parametrize("length", [0.5, 3.1, 12.0])
def test_a_clothoid_agrees_with_pyclothoids(k0: float, k1: float, length: float) -> None:
    """pyclothoids 0.2 (Bertolazzi and Frego's Fresnel integrals), which works differently."""
    slope = (k1 - k0) / length
    theirs = Clothoid.StandardParams(START.x, START.y, START.heading, k0, slope, length)
    ours = Curve.of(START, (CurvePiece(length, k0, k1),))
    # Fresnel integrals in doubles on metres: 1e-9 leaves six digits above rounding.
    for share in (0.25, 0.5, 0.9, 1.0):
        s = share * length
        here = ours.pose_at(s)
        assert here.x == pytest.approx(theirs.X(s), abs=1e-9)
        assert here.y == pytest.approx(theirs.Y(s), abs=1e-9)
        assert heading_gap(here.heading, theirs.Theta(s)) < HEADING_RAD


def test_a_full_arc_closes() -> None:
    curve = Curve.of(START, (CurvePiece(2 * math.pi * 8, 1 / 8, 1 / 8),))
    assert curve.end.distance(START.point) < ROUNDING
    assert heading_gap(curve.end.heading, START.heading) < HEADING_RAD
    assert curve.turn == pytest.approx(2 * math.pi, abs=HEADING_RAD)
    assert curve.min_radius == pytest.approx(8)


def test_a_quarter_arc_is_on_its_circle() -> None:
    curve = Curve.of(Pose(0, 0, 0), (CurvePiece(math.pi * 5, 0.1, 0.1),))
    assert curve.end.x == pytest.approx(10, abs=ROUNDING)
    assert curve.end.y == pytest.approx(10, abs=ROUNDING)
    distances = np.hypot(*(curve.points(0.1) - [0, 10]).T)
    np.testing.assert_allclose(distances, 10, atol=ROUNDING)


def test_a_straight_is_straight() -> None:
    curve = Curve.straight(START, 12.5)
    ahead = START.ahead(12.5)
    assert (curve.length, curve.turn, curve.min_radius) == (12.5, 0.0, math.inf)
    assert curve.end.distance(ahead.point) < ROUNDING


def test_no_pieces_is_a_place() -> None:
    for pieces in ((), (CurvePiece(0.0, 0.1, 0.1),)):
        curve = Curve.of(START, pieces)
        assert (curve.length, curve.end) == (0.0, START)
        assert curve.pose_at(1.0) == START


@settings(max_examples=100, deadline=None, derandomize=True)
@given(piece_lists)
def test_splitting_keeps_length_and_turn(pieces: tuple[CurvePiece, ...]) -> None:
    for piece in pieces:
        parts = piece.split()
        assert sum(p.length for p in parts) == pytest.approx(piece.length, abs=ROUNDING)
        assert sum(p.turn for p in parts) == pytest.approx(piece.turn, abs=HEADING_RAD)
        assert all(abs(p.turn) <= PIECE_TURN + ROUNDING for p in parts)
        for one, other in itertools.pairwise(parts):
            assert one.k1 == other.k0


@settings(max_examples=60, deadline=None, derandomize=True)
@given(curves, some.sampled_from([0.001, 0.01, 0.1]))
def test_an_outline_strays_less_than_its_sagitta(curve: Curve, sagitta: float) -> None:
    """Each place on the curve is held against the outline near it, so crossings do not help."""
    outline = curve.outline(sagitta)
    s = curve.stations(0.05)
    x, y, _, _ = curve.locate(s)
    line = LineString(outline) if len(outline) > 1 else Point(outline[0])
    strays = max(line.distance(Point(p)) for p in zip(x, y, strict=True))
    # One per cent: the count of chords comes from the small-angle sagitta k h^2 / 8.
    assert strays <= sagitta * 1.01
    np.testing.assert_allclose(outline[0], curve.start.point, atol=ROUNDING)
    np.testing.assert_allclose(outline[-1], curve.end.point, atol=ROUNDING)


@pytest.mark.parametrize("sagitta", [0.001, 0.01, 0.1])
def test_an_outline_of_an_arc_is_frugal(sagitta: float) -> None:
    arc = Curve.of(Pose(0, 0, 0), (CurvePiece(40.0, 0.1, 0.1),))
    chords = len(arc.outline(sagitta)) - 1
    # Exact: a chord over the angle t strays r (1 - cos(t / 2)). One chord spare a piece.
    most = 2 * math.acos(1 - sagitta * 0.1)
    assert chords <= math.ceil(4.0 / most) + len(arc.pieces)


def test_length_of_a_fine_outline_is_the_length() -> None:
    curve = Curve.of(START, MIXED)
    # Chords of sagitta e are short by 8 e^2 / (3 h^2) of their length: under 1e-6 in all.
    assert LineString(curve.outline(1e-7)).length == pytest.approx(curve.length, abs=1e-5)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves, some.floats(0, 1), some.floats(0, 1))
def test_a_part_lies_on_its_curve(curve: Curve, one: float, other: float) -> None:
    begin, finish = sorted((one * curve.length, other * curve.length))
    part = curve.part(begin, finish)
    assert part.length == pytest.approx(finish - begin, abs=ROUNDING)
    for share in (0.0, 0.3, 1.0):
        there = curve.pose_at(begin + share * (finish - begin))
        here = part.pose_at(share * part.length)
        assert here.distance(there.point) < 1e-8  # two sums of up to 60 quadratures
        assert heading_gap(here.heading, there.heading) < 1e-8  # curvature 0.6 of that length


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves, some.floats(0, 1))
def test_two_parts_make_the_whole(curve: Curve, share: float) -> None:
    at = share * curve.length
    whole = curve.part(0, at).then(curve.part(at, curve.length))
    assert whole.length == pytest.approx(curve.length, abs=ROUNDING)
    assert whole.end.distance(curve.end.point) < 1e-8
    assert heading_gap(whole.end.heading, curve.end.heading) < 1e-8


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves, curves)
def test_then_lays_one_on_the_end_of_the_other(first: Curve, second: Curve) -> None:
    both = first.then(second)
    assert both.length == pytest.approx(first.length + second.length, abs=ROUNDING)
    assert both.turn == pytest.approx(first.turn + second.turn, abs=HEADING_RAD)
    moved = second.end.seen_from(second.start).placed_in(first.end)
    assert both.end.distance(moved.point) < 1e-8


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves)
def test_mirrored_is_a_reflection(curve: Curve) -> None:
    mirror = curve.mirrored()
    s = curve.stations(0.7)
    x, y, heading, k = curve.locate(s)
    mx, my, _, mk = mirror.locate(s)
    np.testing.assert_allclose(mx, x, atol=ROUNDING)
    np.testing.assert_allclose(my, -y, atol=ROUNDING)
    np.testing.assert_allclose(mk, -k, atol=ROUNDING)
    assert heading_gap(mirror.end.heading, -float(heading[-1])) < HEADING_RAD
    assert mirror.mirrored().pieces == curve.pieces


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves, some.floats(0.05, 30))
def test_stations_are_even_and_near_enough(curve: Curve, step: float) -> None:
    s = curve.stations(step)
    gaps = np.diff(s)
    assert (s[0], s[-1]) == (0.0, curve.length)
    assert gaps.max() <= step * (1 + ROUNDING)
    np.testing.assert_allclose(gaps, gaps[0], atol=ROUNDING)
    assert len(curve.points(step)) == len(s)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(curves)
def test_places_and_headings_do_not_jump(curve: Curve) -> None:
    knots = np.cumsum([p.length for p in curve.pieces])[:-1]
    if not len(knots):
        return
    before, after = curve.locate(knots - 1e-9), curve.locate(knots)
    for one, other in zip(before[:3], after[:3], strict=True):
        # Over 1e-9 m places move 1e-9 m and headings 0.6e-9; the rest is rounding.
        np.testing.assert_allclose(one, other, atol=5e-9)


def test_tightest_looks_at_both_ends() -> None:
    assert Curve.of(START, MIXED).tightest == pytest.approx(0.2)
    assert Curve.of(START, (CurvePiece(4, 0.3, 0.0),)).min_radius == pytest.approx(1 / 0.3)


def test_arc_lengths_beyond_the_ends_are_the_ends() -> None:
    curve = Curve.of(START, MIXED)
    assert curve.pose_at(-3).distance(START.point) < ROUNDING
    assert curve.pose_at(1e4).distance(curve.end.point) < ROUNDING


def test_whole_numbers_are_lengths_too() -> None:
    assert Curve.straight(Pose(0, 0, 0), 44).end.x == pytest.approx(44.0, abs=1e-9)


def test_a_piece_turns_by_its_mean_curvature() -> None:
    """Ten metres from 0.1 to 0.3 a metre: two radians. A straight piece turns by nothing."""
    assert CurvePiece(10, 0.1, 0.3).turn == pytest.approx(2)
    assert CurvePiece(10).turn == 0


def test_no_more_pieces_and_places_than_are_needed() -> None:
    straight = Curve.straight(Pose(0, 0, 0), 30)
    assert len(straight.pieces) == 1
    assert straight.outline(0.01) == pytest.approx(np.array([[0, 0], [30, 0]]))
    assert len(Curve.of(Pose(0, 0, 0), (CurvePiece(10, 0.1, 0.1),)).pieces) == 1
    assert len(Curve.of(Pose(0, 0, 0), (CurvePiece(10, 0.2, 0.2),)).pieces) == 2
