"""Routes sized for a search against the exact curve of the same vertices and radii."""

from __future__ import annotations

import math

import numpy as np
import pytest

from diagram.geometry.corner import TABLE_STEP, reach
from diagram.geometry.pose import Pose
from diagram.geometry.route import Sized, build, measure, samples

ROUTES = {
    "one corner": ((0, 0), (20, 0), (20, 20)),
    "one to the right": ((3, 4), (23, 4), (33, -20)),
    "there and back": ((0, 0), (20, 0), (20, 30), (50, 30)),
    "round": ((0, 0), (30, 5), (30, 30), (5, 25)),
    "past due west": ((0, 0), (-20, 1), (-40, -3), (-60, 12)),
    "nearly straight": ((0, 0), (20, 0.5), (40, 0)),
}
"""Start, vertices and end, metres."""

TABLE = 1e-4
"""Of the radius: a reach read from the table of turns between steps of 1.5 degrees, which errs by
an eighth of the step squared times its second derivative, 1 at a right angle."""


def _sized(name: str, out: float = 2, into: float = 3, cap: float = 100) -> Sized:
    return measure(np.array([ROUTES[name]], dtype=float), out, into, cap)


def _heading(a: tuple[float, float], b: tuple[float, float]) -> float:
    return math.atan2(b[1] - a[1], b[0] - a[0])


@pytest.mark.parametrize("cap", [100, 4])
@pytest.mark.parametrize("name", ROUTES)
def test_a_route_is_as_long_as_its_curve(name: str, cap: float) -> None:
    points, sized = ROUTES[name], _sized(name, cap=cap)
    start = Pose(*points[0], _heading(points[0], points[1]))
    end = Pose(*points[-1], _heading(points[-2], points[-1]))
    curve = build(start, np.array(points[1:-1]), sized.radii[0], end)
    radius = float(sized.radii.max())
    assert curve.end.point == pytest.approx(end.point, abs=1e-9)
    assert sized.length[0] == pytest.approx(curve.length, abs=2 * len(points) * TABLE * radius)
    assert sized.turns[0].sum() == pytest.approx(curve.turn, abs=1e-9)
    straights = [piece.length for piece in (curve.pieces[0], curve.pieces[-1])]
    assert [sized.first[0], sized.last[0]] == pytest.approx(straights, abs=2 * TABLE * radius)
    # A corner is sampled in the shape of the next turn of the table, at most one step larger.
    track = curve.points(0.02)
    gaps = np.linalg.norm(samples(sized)[0][:, None] - track[None], axis=2).min(axis=1)
    assert gaps.max() < radius * TABLE_STEP + 0.01
    # And the whole of it: no piece of the track is far from a sample.
    apart = np.linalg.norm(samples(sized)[0][:, None] - track[None], axis=2).min(axis=0)
    assert apart.max() < 0.5 * max(curve.length / 9, 1)


def test_a_corner_is_as_large_as_its_lines_allow() -> None:
    """Lines of 20 m with 2 and 3 m to stay straight: the radius that reaches 17 m back, so that
    the first line keeps 3 m as well."""
    sized = _sized("one corner")
    assert sized.radii[0, 0] == pytest.approx(17 / reach(math.pi / 2), rel=1e-6)
    assert [sized.first[0], sized.last[0]] == pytest.approx([3, 3])
    assert _sized("one corner", cap=5).radii[0, 0] == 5


def test_corners_share_the_line_between_them() -> None:
    """Two right angles with 30 m between and 18 and 27 m on their other sides: 15 m each."""
    sized = _sized("there and back")
    assert sized.turns[0] == pytest.approx([math.pi / 2, -math.pi / 2])
    assert sized.radii[0] == pytest.approx([15 / reach(math.pi / 2)] * 2, rel=1e-6)


def test_a_turn_past_due_west_is_a_small_one() -> None:
    assert np.abs(_sized("past due west").turns).max() < 1


def test_some_of_the_routes_are_picked_whole() -> None:
    points = np.array([ROUTES["one corner"], ROUTES["one to the right"]], dtype=float)
    both = measure(points, 2, 3, 100)
    second = both.pick(np.array([1]))
    assert second.length == both.length[1:]
    assert np.array_equal(second.points, points[1:])


def test_a_vertex_with_no_turn_is_no_corner() -> None:
    curve = build(Pose(0, 0, 0), np.array([[10.0, 0.0]]), np.array([8.0]), Pose(20, 0, 0))
    assert curve.length == 20
    assert curve.turn == 0


def test_a_turn_sharper_than_the_table_is_sampled_as_its_last() -> None:
    """Back at 175 degrees, where the table ends at 165: still as many places, all finite."""
    c, s = math.cos(math.radians(175)), math.sin(math.radians(175))
    sharp = measure(np.array([[(0, 0), (20, 0), (20 + 20 * c, 20 * s)]]), 2, 3, 100)
    found = samples(sharp)
    assert found.shape == samples(_sized("one corner")).shape
    assert np.isfinite(found).all()
