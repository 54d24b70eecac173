"""Two tapes that cross: the table of errors, exact triangles, the offset and its right angle."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from two_tapes import expected_error

from diagram.stakeout.crew import crew_for
from diagram.stakeout.crossing import (
    angle_between,
    crossing,
    is_left,
    other_crossing,
)
from diagram.stakeout.known import Known, crossed

# Standard result for two independent ranges; the figures as tabled to two decimals.
TABLE = [
    (15, 5.46),
    (30, 2.83),
    (45, 2.00),
    (60, 1.63),
    (90, 1.41),
    (120, 1.63),
    (135, 2.00),
    (150, 2.83),
]

coordinates = st.floats(-50, 50)
places = st.tuples(coordinates, coordinates)


@pytest.mark.parametrize(("degrees", "rms"), TABLE)
def test_the_table_of_errors(degrees: float, rms: float) -> None:
    gamma = math.radians(degrees)
    still = np.zeros((2, 2))
    b = (9 * math.cos(gamma), 9 * math.sin(gamma))
    ends = Known("a", (10.0, 0.0), still), Known("b", b, still)
    # Half a unit of the last decimal.
    drift = crossed(*ends, (0.0, 0.0), (1.0, 1.0), (0, 1))
    assert math.sqrt(np.sum(drift**2)) == pytest.approx(rms, abs=0.005)
    assert expected_error(gamma, 1.0) == pytest.approx(rms, abs=0.005)


def test_parallel_tapes_hold_nothing() -> None:
    assert crossing((0, 0), 5.0, (20, 0), 5.0, True) is None
    assert crossing((0, 0), 50.0, (20, 0), 5.0, True) is None
    assert crossing((3, 3), 5.0, (3, 3), 5.0, True) is None


# Whole-number triangles: 15-20-25 and 26-24-... put together on a base line (derived).
@pytest.mark.parametrize(
    ("base", "first", "second", "at", "degrees"),
    [
        (20, 25, 15, (20, 15), 53.1301),
        (40, 25, 39, (8.8, 23.4), 73.7398),
        (5, 4, 3, (3.2, 2.4), 90),
    ],
)
def test_exact_triangles(
    base: float, first: float, second: float, at: tuple[float, float], degrees: float
) -> None:
    a, b = (0.0, 0.0), (float(base), 0.0)
    left = crossing(a, first, b, second, True)
    right = crossing(a, first, b, second, False)
    assert left == pytest.approx(at, abs=1e-12)
    assert right == pytest.approx((at[0], -at[1]), abs=1e-12)
    assert left is not None
    assert math.degrees(angle_between(a, b, left)) == pytest.approx(degrees, abs=1e-4)
    assert other_crossing(a, b, left) == pytest.approx(right, abs=1e-12)
    assert is_left(a, b, left)


@given(places, places, places)
def test_what_is_taped_is_found_again(
    a: tuple[float, float], b: tuple[float, float], at: tuple[float, float]
) -> None:
    assume(min(math.dist(a, b), math.dist(a, at), math.dist(b, at)) > 0.5)
    assume(math.sin(angle_between(a, b, at)) > 0.05)
    found = crossing(a, math.dist(a, at), b, math.dist(b, at), is_left(a, b, at))
    # A relative rounding error of 1e-16 in lengths of 100 m, over the flattest sine allowed.
    assert found == pytest.approx(at, abs=1e-8)


def test_the_error_is_that_of_simulated_tapes() -> None:
    chance = random.Random(5)
    a, b, at = (0.0, 0.0), (30.0, 4.0), (12.0, 17.0)
    off = []
    for _ in range(4000):
        found = crossing(
            a, math.dist(a, at) + chance.gauss(0, 0.02), b,
            math.dist(b, at) + chance.gauss(0, 0.02), is_left(a, b, at),
        )  # fmt: skip
        assert found is not None
        off.append(math.dist(found, at) ** 2)
    # The mean of 4000 squares is known to about 2 %, its root to 1 %; four times that.
    rms = math.sqrt(sum(off) / len(off))
    assert rms == pytest.approx(expected_error(angle_between(a, b, at), 0.02), rel=0.04)


@pytest.mark.parametrize("units", ["feet", "metres"])
def test_the_right_angle_of_a_taped_triangle(units: str) -> None:
    """The three sides with an error each, and the angle from the law of cosines."""
    crew = crew_for(units)  # type: ignore[arg-type]
    a, b, c = crew.triangle
    assert c == pytest.approx(math.hypot(a, b))
    assert a + b + c <= crew.tape_length
    chance, off = random.Random(7), []
    for _ in range(4000):
        x, y, z = (side + chance.gauss(0, crew.tape_error) for side in (a, b, c))
        off.append(math.acos((x * x + y * y - z * z) / (2 * x * y)) - math.pi / 2)
    spread = math.sqrt(sum(d * d for d in off) / len(off))
    assert spread == pytest.approx(crew.right_angle_error, rel=0.05)


def test_a_length_of_two_tapes_is_less_certain() -> None:
    crew = crew_for("metres", tape_length=20.0, tape_error=0.02)
    assert crew.reading_error(20.0) == 0.02
    assert crew.reading_error(20.01) == pytest.approx(0.02 * math.sqrt(2))
    assert crew.joined(20.01)
    assert not crew.joined(20.0)


@pytest.mark.parametrize(
    "said",
    [{"tape_error": 0.0}, {"tape_error": 1.0}, {"tape_length": 1.0}, {"rounding": 0.05},
     {"rounding": 5.0}],
)  # fmt: skip
def test_figures_that_no_crew_works_with(said: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        crew_for("feet", **said)  # type: ignore[arg-type]
