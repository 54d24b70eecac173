"""How near ways come to fences, against shapely; and what is left out because it is far."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from shapely.geometry import LineString, Point

from diagram.geometry.region import Region
from diagram.path.room import Room

REGION = Region.of(((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (0.0, 60.0)))
ROUNDING = 1e-9
places = some.tuples(some.floats(0, 90), some.floats(0, 60))
fences = some.lists(some.tuples(places, places, some.floats(0, 2)), max_size=6)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(some.lists(some.lists(places, min_size=3, max_size=3), min_size=1, max_size=5), fences)
def test_fences_near_a_way_are_found_and_far_ones_are_far(
    ways: list[list[tuple[float, float]]], stand: list[tuple[object, object, float]]
) -> None:
    a, b = (np.array([f[n] for f in stand], dtype=float).reshape(-1, 2) for n in (0, 1))
    room = Room(REGION, a, b, np.array([f[2] for f in stand], dtype=float))
    found = room.closeness(np.array(ways), 4.0)
    for way, row in zip(ways, found, strict=True):
        for place, gap in zip(way, row, strict=True):
            gaps = [LineString(f[:2]).distance(Point(place)) - f[2] for f in stand]
            least = min(gaps, default=np.inf)
            if least < 4.0 - ROUNDING:
                assert gap == pytest.approx(least, abs=ROUNDING)
            else:
                assert gap >= 4.0 - ROUNDING


def test_a_way_that_cannot_be_ridden_is_near_nothing_and_far_from_nothing() -> None:
    room = Room(REGION, np.array([[5.0, 5.0]]), np.array([[9.0, 5.0]]), np.array([0.1]))
    found = room.closeness(np.array([[[np.nan, np.nan]], [[6.0, 6.0]]]), 2.0)
    assert np.isnan(found[0, 0])
    assert found[1, 0] == pytest.approx(0.9)
