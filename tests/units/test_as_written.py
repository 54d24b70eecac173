"""Lengths to the letter: every part of what is printed, and of what is said of a wrong one.

A foot is 0.3048 m (international foot, NIST Handbook 44, appendix C); the rest is arithmetic.
"""

from __future__ import annotations

import pytest

from diagram.units import (
    FOOT,
    INCH,
    LONGEST,
    UnitError,
    Units,
    feet_inches,
    length_text,
    metres_text,
    parse_angle,
    parse_length,
    parse_length_range,
    parse_speed,
    speed_text,
    steps_text,
)


@pytest.mark.parametrize(
    ("inches", "nearest", "text"),
    [
        (150, 1.0, "12'6\""),
        (144, 1.0, "12'"),
        (0, 1.0, "0'"),
        (6, 1.0, '6"'),
        (-150, 1.0, "-12'6\""),
        (-6, 1.0, '-6"'),
        (150.5, 0.5, "12'6½\""),
        (0.5, 0.5, '½"'),
        (0.25, 0.25, '¼"'),
        (3.75, 0.25, '3¾"'),
        (0.125, 0.125, '⅛"'),
        (0.375, 0.125, '⅜"'),
        (0.625, 0.125, '⅝"'),
        (13.875, 0.125, "1'1⅞\""),
        (0.0625, 0.0625, ' 1/16"'),
        (150.4, 1.0, "12'6\""),
        (150.4, 0.5, "12'6½\""),
        (7.0, 6.0, '6"'),
        (10.0, 6.0, "1'"),
    ],
)
def test_feet_and_inches(inches: float, nearest: float, text: str) -> None:
    assert feet_inches(inches * INCH, nearest) == text


@pytest.mark.parametrize(
    ("feet", "text"),
    [
        (3, "1 step"), (6, "2 steps"), (0, "0 steps"), (4, "1 step + 1 ft"), (2, "1 step - 1 ft"),
        (5, "2 steps - 1 ft"), (72, "24 steps"), (73, "24 steps + 1 ft"),
    ],
)  # fmt: skip
def test_steps(feet: int, text: str) -> None:
    assert steps_text(feet * FOOT) == text


@pytest.mark.parametrize(
    ("metres", "places", "text"),
    [(3.8149, 2, "3.81 m"), (3.8149, 1, "3.8 m"), (-0.004, 2, "0.00 m"), (-0.006, 2, "-0.01 m")],
)
def test_metres_and_no_nought_below_nought(metres: float, places: int, text: str) -> None:
    assert metres_text(metres, places) == text


@pytest.mark.parametrize(
    ("units", "text"),
    [("feet", "12'6\""), ("metres", "3.81 m"), ("both", "12'6\" (3.81 m)")],
)
def test_a_length_in_either_unit_or_both(units: Units, text: str) -> None:
    assert length_text(3.81, units) == text


def test_a_speed_is_told_by_the_minute() -> None:
    assert speed_text(5.83) == "350 m/min"


def test_the_longest_length_is_one() -> None:
    assert parse_length(f"{LONGEST:.0f} m") == LONGEST
    with pytest.raises(UnitError) as caught:
        parse_length(f"{LONGEST + 1:.0f} m")
    assert caught.value.hint == "check the unit"


def test_a_range_of_one_length_is_a_range() -> None:
    assert parse_length_range("19' - 19'") == (19 * FOOT, 19 * FOOT)
    assert parse_length_range("19-20 FT") == (19 * FOOT, 20 * FOOT)


@pytest.mark.parametrize(
    ("read", "text", "message", "hint"),
    [
        (parse_length, "12", "'12' has no unit", "write 12' or 12 m"),
        (parse_length, "+12", "'+12' has no unit", "write 12' or 12 m"),
        (parse_speed, "fast", "'fast' is not a speed", "write it like 350 m/min"),
        (parse_angle, "30", "'30' has no unit", "write 30°"),
        (parse_angle, "steep", "'steep' is not an angle", "write it like 30°"),
        (
            parse_length_range,
            "20' - 19'",
            "\"20' - 19'\" runs from the longer to the shorter",
            "write 19'-20'",
        ),
    ],
)
def test_what_is_said_of_a_wrong_one(read: object, text: str, message: str, hint: str) -> None:
    with pytest.raises(UnitError) as caught:
        read(text)  # type: ignore[operator]
    assert (caught.value.message, caught.value.hint) == (message, hint)
    assert message in str(caught.value)
