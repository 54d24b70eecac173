"""Insides, distances and rays against shapely, which is built on GEOS."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from shapely import LineString, Polygon
from shapely import Point as Spot

from diagram.geometry.region import (
    Region,
    first_least,
    own_distances,
    segment_distances,
    signed_area,
)

ROUNDING = 1e-9
"""Metres. Products of coordinates under 100 m, in doubles."""

places = some.tuples(some.floats(-70, 70), some.floats(-70, 70))


@some.composite
def stars(draw: some.DrawFn) -> tuple[tuple[float, float], ...]:
    """Simple polygons seen whole from their middle, most of them not convex."""
    count = draw(some.integers(4, 9))
    radii = [draw(some.floats(5, 40)) for _ in range(count)]
    angles = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return tuple((r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, angles, strict=True))


@some.composite
def convex(draw: some.DrawFn) -> tuple[tuple[float, float], ...]:
    """Corners on an ellipse."""
    count = draw(some.integers(3, 9))
    wide, high = draw(some.floats(10, 40)), draw(some.floats(10, 40))
    angles = np.linspace(0, 2 * math.pi, count, endpoint=False) + draw(some.floats(0, 1))
    return tuple((wide * math.cos(t), high * math.sin(t)) for t in angles)


polygons = some.one_of(
    stars(),
    convex(),
    some.just(((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (20.0, 30.0), (20.0, 18.0), (0.0, 18.0))),
)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(polygons, some.lists(places, min_size=1, max_size=12), some.booleans())
def test_inside_agrees_with_shapely(
    corners: tuple[tuple[float, float], ...], points: list[tuple[float, float]], clockwise: bool
) -> None:
    region = Region.of(tuple(reversed(corners)) if clockwise else corners)
    theirs = Polygon(corners)
    assert signed_area(region.corners) == pytest.approx(theirs.area)
    depths = region.inside(np.array(points))
    for depth, point in zip(depths, points, strict=True):
        gap = theirs.exterior.distance(Spot(point))
        if gap > ROUNDING:
            assert (depth > 0) == theirs.contains(Spot(point))
        if depth > 0 or region.half_planes is None:
            assert abs(depth) == pytest.approx(gap, abs=ROUNDING)
        else:
            # Outside a convex region it is the distance to an edge's line: never too much.
            assert -depth <= gap + ROUNDING
        assert region.depth(point) == pytest.approx(depth, abs=ROUNDING)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    some.lists(places, min_size=1, max_size=8),
    some.lists(some.tuples(places, places), min_size=1, max_size=5),
)
def test_segment_distances_agree_with_shapely(
    points: list[tuple[float, float]],
    segments: list[tuple[tuple[float, float], tuple[float, float]]],
) -> None:
    a, b = (np.array([s[i] for s in segments]) for i in (0, 1))
    found = segment_distances(np.array(points), a, b)
    assert found.shape == (len(points), len(segments))
    for row, point in zip(found, points, strict=True):
        for distance, ends in zip(row, segments, strict=True):
            # A segment shorter than 1e-9 m is a point to the one and not to the other, which for
            # the very shortest says that everything is infinitely far away.
            other = LineString(ends) if math.dist(*ends) > 1e-9 else Spot(ends[0])
            assert distance == pytest.approx(other.distance(Spot(point)), abs=2e-9)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(polygons, places, some.floats(0, 2 * math.pi))
def test_rays_agree_with_shapely(
    corners: tuple[tuple[float, float], ...], origin: tuple[float, float], angle: float
) -> None:
    region = Region.of(corners)
    theirs = Polygon(corners)
    if theirs.exterior.distance(Spot(origin)) < 1e-6:
        return
    direction = (math.cos(angle), math.sin(angle))
    far = (origin[0] + 500 * direction[0], origin[1] + 500 * direction[1])
    met = theirs.exterior.intersection(LineString([origin, far]))
    # A ray that only brushes a corner may miss or meet it by rounding.
    if min(LineString([origin, far]).distance(Spot(c)) for c in corners) < 1e-6:
        return
    expected = math.inf if met.is_empty else Spot(origin).distance(met)
    # Rays all but along an edge magnify rounding: 1e-6 m is far below any use.
    assert region.ray_length(origin, direction) == pytest.approx(expected, abs=1e-6)


def test_bounds_and_reflection() -> None:
    region = Region.of(((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0)))
    assert region.bounds == (0.0, 0.0, 40.0, 20.0)
    assert region.mirrored().depth((5.0, -3.0)) == region.depth((5.0, 3.0)) == pytest.approx(3)
    assert signed_area(region.mirrored().corners) > 0
    assert region.mirrored().mirrored() == region


SQUARE = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))
WITH_A_CORNER_OUT = ((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (20.0, 30.0), (20.0, 18.0), (0.0, 18.0))


def test_half_planes_are_of_convex_regions() -> None:
    """Outside a square by 3 and 4 m it is 4 m to the line of an edge, and 5 m to its corner."""
    assert Region(SQUARE).half_planes is not None
    assert Region(WITH_A_CORNER_OUT).half_planes is None
    assert Region(SQUARE).depth((-3, -4)) == -4
    assert Region(WITH_A_CORNER_OUT).depth((-3, -4)) == -5


def test_the_area_of_a_square_is_less_than_nothing_the_other_way_round() -> None:
    assert signed_area(SQUARE) == 400
    assert signed_area(tuple(reversed(SQUARE))) == -400
    assert Region.of(tuple(reversed(SQUARE))).corners == SQUARE


@pytest.mark.parametrize("corners", [SQUARE, WITH_A_CORNER_OUT])
def test_a_grid_of_points_has_the_depths_and_slopes_of_its_rows(
    corners: tuple[tuple[float, float], ...],
) -> None:
    region = Region(corners)
    points = np.random.default_rng(6).uniform(-5, 35, (3, 4, 2))
    depths, slopes = region.inside_and_slope(points)
    for n in range(3):
        depth, slope = region.inside_and_slope(points[n])
        assert np.array_equal(depths[n], depth)
        assert np.array_equal(slopes[n], slope)


def test_each_heading_of_the_edges_once() -> None:
    """A square turned by 30 degrees has edges at 30 and 120; the arena with a corner out 0 and 90,
    also where an edge runs back at all but half a turn."""
    c, s = math.cos(math.pi / 6), math.sin(math.pi / 6)
    turned = tuple((c * x - s * y, s * x + c * y) for x, y in SQUARE)
    # Headings are kept to a millionth of a radian.
    assert Region(turned).headings == pytest.approx([math.pi / 6, 2 * math.pi / 3], abs=1e-6)
    assert Region(WITH_A_CORNER_OUT).headings == pytest.approx([0, math.pi / 2], abs=1e-6)
    nearly = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0 + 1e-9))
    assert Region(nearly).headings == pytest.approx([0, math.pi / 2], abs=1e-6)


def test_points_each_to_a_segment_of_its_own() -> None:
    rng = np.random.default_rng(5)
    points, a, b = (rng.uniform(-9, 9, (24, 2)) for _ in range(3))
    own = [segment_distances(points[n : n + 1], a[n : n + 1], b[n : n + 1]) for n in range(24)]
    found = own_distances(*points.T, a, b)
    assert found == pytest.approx(np.concatenate(own)[:, 0], abs=ROUNDING)


def test_of_the_least_that_are_alike_the_first_is_chosen() -> None:
    values = np.array([[3.0, 1.0 + 1e-9, 1.0], [1.0, 2.0, 0.9], [0.5, 0.5 - 1e-8, 0.5 - 1e-6]])
    assert first_least(values).tolist() == [1, 2, 2]
    assert first_least(np.stack([values, values + 1])).tolist() == [[1, 2, 2], [1, 2, 2]]
