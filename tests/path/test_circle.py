"""A circle on the way leaves the rest of the line where it was."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from diagram.geometry.corner import bend_pieces
from diagram.geometry.curve import Curve, CurvePiece
from diagram.geometry.pose import Pose, wrap
from diagram.geometry.region import Region
from diagram.model.said import CircleSaid
from diagram.path.circle import DIAMETERS, with_circle
from diagram.path.limits import GaitLimits, limits_for
from diagram.path.room import Room
from diagram.trade.horses import Horses

REGION = Region.of(((0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)))
ROOM = Room(REGION, np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))
SAME = 1e-7
"""Metres or radians. Sums of some tens of pieces on tens of metres."""
STRAIGHT = Curve.straight(Pose(8, 14, 0), 44.0)
BENT = Curve.of(Pose(6, 9, 0), bend_pieces(math.pi / 3, 9.0, 30.0, 6.0))


def limits() -> GaitLimits:
    return limits_for(Horses("horse", 3.66)).trot


@pytest.mark.parametrize("left", [True, False])
@pytest.mark.parametrize("diameter", [None, 10.0, 13.5, 20.0])
@pytest.mark.parametrize("curve", [STRAIGHT, BENT])
def test_the_line_ends_where_it_ended(curve: Curve, diameter: float | None, left: bool) -> None:
    found = with_circle(curve, CircleSaid(left, diameter), ROOM, limits()).curve
    assert found.start == curve.start
    assert found.end.distance(curve.end.point) < SAME
    assert abs(wrap(found.end.heading - curve.end.heading)) < SAME
    assert found.turn - curve.turn == pytest.approx(2 * math.pi * (1 if left else -1), abs=SAME)
    for one, other in itertools.pairwise(found.pieces):
        assert abs(one.k1 - other.k0) < SAME
    if diameter:
        assert found.min_radius == pytest.approx(min(diameter / 2, curve.min_radius))


def test_without_a_diameter_it_is_the_largest_that_fits() -> None:
    wide = with_circle(STRAIGHT, CircleSaid(True), ROOM, limits()).curve
    # 14 m from the one rail and 16 m from the other: no 20 or 18 m circle to one side.
    assert 2 * wide.min_radius in [pytest.approx(d) for d in DIAMETERS]
    assert 2 * wide.min_radius <= 16 - limits().manner.rail
    assert REGION.inside(wide.points(0.05)).min() >= limits().manner.rail - 0.01


def test_a_line_without_a_straight_is_left_alone() -> None:
    arc = Curve.of(Pose(20, 10, 0), (CurvePiece(5, 0, 0.1), CurvePiece(5, 0.1, 0)))
    assert with_circle(arc, CircleSaid(True), ROOM, limits()).curve == arc


def test_a_line_with_too_short_a_straight_still_ends_where_it_ended() -> None:
    curve = Curve.of(Pose(20, 10, 0), bend_pieces(math.pi / 2, 8.0, 0.8, 0.8))
    found = with_circle(curve, CircleSaid(True, 10.0), ROOM, limits()).curve
    assert found.end.distance(curve.end.point) < SAME
