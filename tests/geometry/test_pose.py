"""Poses by hand."""

from __future__ import annotations

import math

import pytest

from diagram.geometry.pose import Pose, unit_towards, wrap


@pytest.mark.parametrize(
    ("angle", "wrapped"),
    [(0, 0), (math.pi, math.pi), (-math.pi, math.pi), (3 * math.pi, math.pi), (7, 7 - math.tau)],
)
def test_wrapped(angle: float, wrapped: float) -> None:
    assert wrap(angle) == pytest.approx(wrapped)


def test_towards_another_place() -> None:
    assert unit_towards((1, 2), (4, 6)) == pytest.approx((0.6, 0.8))
    assert unit_towards((4, 6), (1, 2)) == pytest.approx((-0.6, -0.8))
    assert unit_towards((1, 2), (1, 2)) == (0, 0)


def test_ahead_and_to_the_left_and_seen_from_there() -> None:
    """Facing north from 1, 2: ahead is along y and left against x."""
    here = Pose(1, 2, math.pi / 2)
    moved = here.ahead(3, 4)
    assert (moved.x, moved.y, moved.heading) == pytest.approx((-3, 5, math.pi / 2))
    seen = moved.turned(1).seen_from(here)
    assert (seen.x, seen.y, seen.heading) == pytest.approx((3, 4, 1))
    back = seen.placed_in(here)
    assert (back.x, back.y, back.heading) == pytest.approx((-3, 5, math.pi / 2 + 1))
    assert here.distance((4, 6)) == 5


def test_reversed_and_mirrored() -> None:
    pose = Pose(1, 2, 1)
    assert pose.reversed() == Pose(1, 2, wrap(1 + math.pi))
    assert pose.mirrored() == Pose(1, -2, -1)
