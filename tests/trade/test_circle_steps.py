"""Strides round a circle, against what is published and against plain arithmetic.

The published pairs are five strides in 17 m on a circle of 22 m (French cavaletti exercise on a
circle, 2021) and four in a quarter of a circle of 20 m (trainer of a feed maker, four fences on a
circle, 2018).
"""

from __future__ import annotations

import math

import pytest

from diagram.trade.circles import circle_distance, circle_rides_as, on_a_circle
from diagram.trade.horses import Horses

HORSES = Horses("horse", 12 * 0.3048)


@pytest.mark.parametrize(
    ("arc_m", "strides"), [(17.0, 5), (math.pi * 22 / 4, 5), (math.pi * 20 / 4, 4)]
)
def test_what_is_published_rides_as_published(arc_m: float, strides: int) -> None:
    rides = circle_rides_as(arc_m, HORSES)
    assert (rides.strides, rides.fits) == (strides, True)
    asked = circle_distance(strides, HORSES)
    # Printed to the metre, or to a circle of whole metres: half a metre of arc either way.
    assert asked.low_m - 0.5 <= arc_m <= asked.high_m + 0.5


@pytest.mark.parametrize(
    ("diameter_m", "arc_m", "steps"),
    [
        (15, 11.78, 2.9), (18, 14.14, 3.7), (20, 15.71, 4.2), (22, 17.28, 4.8),
        (24, 18.85, 5.3), (25, 19.63, 5.5), (30, 23.56, 6.9),
    ],
)  # fmt: skip
def test_quarters_of_circles(diameter_m: float, arc_m: float, steps: float) -> None:
    """Derived: the arc is a quarter of pi times the diameter, its strides one less than the arc
    holds steps of 3.00 m; both worked out by hand, the arc to a centimetre, strides to a tenth."""
    assert math.pi * diameter_m / 4 == pytest.approx(arc_m, abs=0.005)
    rides = circle_rides_as(arc_m, HORSES)
    assert arc_m / 3.00 - 1 == pytest.approx(steps, abs=0.05 + 1e-9)
    assert abs(rides.strides - steps) <= 0.5
    assert rides.stride_m == pytest.approx(arc_m / (rides.strides + 1))


def test_a_wide_bend_takes_the_step_of_a_line() -> None:
    """30 degrees on a radius of 20 m is no circle that a horse would shorten for."""
    assert not on_a_circle(10.47, math.radians(30), None)
    assert not on_a_circle(10.47, None, 20.0)
    assert on_a_circle(14.14, math.radians(90), None)
    assert on_a_circle(14.14, None, None)
