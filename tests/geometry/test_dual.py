"""Duals, `reaches` and the depth of a region against complex steps, differences and shapely."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from diagram.geometry import dual
from diagram.geometry.corner import reach, reaches, run, run_slope
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual
from diagram.geometry.region import Region

STEP = 1e-30
"""A complex step has no rounding to fear (Squire and Trapp, SIAM Review 40, 1998)."""


def variables(values: Floats) -> tuple[Dual, ...]:
    """The last axis of `values` (..., n) as n variables."""
    n = values.shape[-1]
    unit, shape = np.eye(n), (*values.shape[:-1], n)
    return tuple(Dual(values[..., i], np.broadcast_to(unit[i], shape)) for i in range(n))


def _cos(angle: Dual) -> Dual:
    return dual.towards(angle).real


def _formula(a, b, c, sin, cos):
    """Every operation once: sums, products, quotients, by numbers and by arrays, either side."""
    other = np.array([0.7, -1.3, 2.1])
    first = (a + b) * (1.5 - c) + 2.0 * a - other * b + (-c) * other
    second = (a * b + 3.0) / (c * c + 1.0) - (b - 0.25) / (a * a + 2.0)
    return sin(first) * cos(second) + (other + a) * (b - other) + first / (second * second + 1.0)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-3, 3), min_size=9, max_size=9))
def test_a_formula_of_duals_has_the_slopes_of_the_complex_step(numbers: list[float]) -> None:
    values = np.array(numbers).reshape(3, 3)
    found = _formula(*variables(values), dual.sin, _cos)
    assert np.allclose(found.value, _formula(*values.T, np.sin, np.cos), rtol=1e-12, atol=1e-12)
    for n in range(3):
        moved = values.astype(complex)
        moved[:, n] += 1j * STEP
        expected = _formula(*moved.T, np.sin, np.cos).imag / STEP
        # Both are exact but for rounding in some thirty operations.
        assert np.allclose(found.slope[:, n], expected, rtol=1e-10, atol=1e-10)


def _differences(function, values: np.ndarray, step: float = 1e-6) -> np.ndarray:
    out = []
    for n in range(values.shape[-1]):
        move = np.zeros(values.shape[-1])
        move[n] = step
        out.append((function(values + move) - function(values - move)) / (2 * step))
    return np.stack(out, axis=-1)


POINTS = np.random.default_rng(4).uniform(-5, 5, (200, 2))


@pytest.mark.parametrize(
    ("own", "plain"),
    [
        (dual.atan2, np.arctan2),
        (dual.hypot, np.hypot),
        (lambda a, b: dual.wrapped(a * b, 0.3), lambda a, b: (a * b - 0.3) % (2 * np.pi) + 0.3),
        (lambda a, b: dual.within(a * b, -2.0, 3.0), lambda a, b: np.clip(a * b, -2.0, 3.0)),
    ],
)
def test_functions_with_kinks_have_the_slopes_of_differences(own, plain) -> None:
    found = own(*variables(POINTS))
    assert np.allclose(found.value, plain(*POINTS.T))
    differences = _differences(lambda p: plain(p[..., 0], p[..., 1]), POINTS)
    smooth = np.abs(differences).max(axis=-1) < 1e4
    assert smooth.sum() > 190
    # Central differences of step h err by h^2 and by rounding / h: 1e-9 at best.
    assert np.allclose(found.slope[smooth], differences[smooth], atol=1e-5, rtol=1e-6)


def test_slopes_stay_finite_where_a_direction_is_lost() -> None:
    a, b = variables(np.zeros((1, 2)))
    assert np.isfinite(dual.atan2(a, b).slope).all()
    assert np.isfinite(dual.hypot(a, b).slope).all()


def test_one_more_axis_keeps_values_and_slopes() -> None:
    a, _ = variables(POINTS)
    along = a.spread() * np.array([1.0, 2.0, 3.0])
    assert along.value.shape == (200, 3)
    assert np.array_equal(along.value[:, 1], 2 * POINTS[:, 0])
    assert np.array_equal(along.slope[:, 2, 0], np.full(200, 3.0))
    assert isinstance(np.array([1.0]) * a, Dual)


TURNS = np.radians(np.linspace(2, 164, 82))


def test_reaches_are_those_of_the_exact_corner() -> None:
    """Which is integrated by scipy in `test_corner`."""
    found, slope = reaches(TURNS)
    assert np.allclose(found, [reach(t) for t in TURNS], rtol=1e-11)
    differences = (reaches(TURNS + 1e-6)[0] - reaches(TURNS - 1e-6)[0]) / 2e-6
    assert np.allclose(slope, differences, rtol=1e-6)


def test_a_corner_grows_twice_as_fast_while_it_is_all_ease() -> None:
    turns = np.array([0.02, 0.06, 0.099, 0.101, 0.5, 2.0])
    differences = (run(turns + 1e-6) - run(turns - 1e-6)) / 2e-6
    assert np.allclose(run_slope(turns), differences, rtol=1e-8)


def test_the_bearing_of_a_place_turns_as_it_moves() -> None:
    """A place 1 + a b + i a, and the same seen by its coordinates."""
    a, b = variables(POINTS)
    found = dual.bearing(a * b + 1.0 + a * 1j)
    apart = dual.atan2(a, a * b + 1.0)
    assert np.allclose(found.value, apart.value)
    assert np.allclose(found.slope, apart.slope)
    origin, _ = variables(np.zeros((1, 2)))
    assert np.isfinite(dual.bearing(origin * 1j).slope).all()


def test_what_is_held_at_a_bound_has_no_slope() -> None:
    a, _ = variables(np.array([[-2.5, 0], [-2.0, 0], [0.0, 0], [3.0, 0], [3.5, 0]]))
    held = dual.within(a, -2.0, 3.0)
    assert held.value.tolist() == [-2.0, -2.0, 0.0, 3.0, 3.0]
    assert held.slope[:, 0].tolist() == [0.0, 0.0, 1.0, 0.0, 0.0]


def test_a_turn_at_the_lowest_but_for_rounding_goes_there() -> None:
    angles, _ = variables(np.array([[-np.pi, 0], [np.pi, 0], [np.pi - 1e-9, 0], [3.0, 0]]))
    assert np.allclose(dual.wrapped(angles).value, [-np.pi, -np.pi, -np.pi, 3.0])


def test_a_number_and_more_of_them_keep_every_slope() -> None:
    """One dual and an array of three: three values, and three slopes."""
    a, _ = variables(np.array([2.0, 5.0]))
    more = a + np.array([1.0, 2.0, 3.0])
    assert more.value.tolist() == [3.0, 4.0, 5.0]
    assert more.slope.tolist() == [[1.0, 0.0]] * 3


REGIONS = {
    "rectangle": ((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)),
    "five corners": ((0.0, 0.0), (75.0, 0.0), (75.0, 46.0), (12.0, 46.0), (0.0, 36.0)),
    "with an inner corner": (
        (0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (35.0, 20.0), (35.0, 45.0), (0.0, 45.0),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REGIONS)
def test_depth_and_its_slope(name: str) -> None:
    region = Region(REGIONS[name])
    points = np.random.default_rng(7).uniform((-8, -8), (83, 54), (400, 2))
    depth, slope = region.inside_and_slope(points)
    assert np.array_equal(depth, region.inside(points))
    shape = shapely.Polygon(region.corners)
    rail = shapely.distance(shapely.points(points), shape.exterior)
    within = shapely.contains(shape, shapely.points(points))
    assert np.allclose(depth[within], rail[within], atol=1e-9)
    assert (depth[~within] < 0).all()
    # Outside a convex region the depth is that under the line of an edge: never more.
    assert (-depth[~within] <= rail[~within] + 1e-9).all()
    assert np.allclose(np.hypot(*slope.T), 1.0, atol=1e-9)
    differences = _differences(region.inside, points)
    smooth = np.abs(np.hypot(*differences.T) - 1) < 1e-6  # not astride two nearest edges
    assert smooth.mean() > 0.98
    assert np.allclose(slope[smooth], differences[smooth], atol=1e-6)
