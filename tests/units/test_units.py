"""Lengths as people write them, there and back, and every refusal with a hint."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from diagram.units import (
    FOOT,
    INCH,
    LONGEST,
    UnitError,
    feet_inches,
    parse_angle,
    parse_length,
    parse_length_range,
    parse_speed,
    steps_text,
)

ROUNDING = 1e-12
"""Metres. One multiplication and one sum of doubles under 1e2."""


def test_the_foot_is_exact() -> None:
    """NIST SP 811 (2008), appendix B.8: 1 ft = 3.048 E-01 m and 1 in = 2.54 E-02 m, exact."""
    assert FOOT == 0.3048
    assert pytest.approx(0.0254, rel=1e-15) == INCH


def test_every_inch_to_200_feet_there_and_back() -> None:
    for inches in range(200 * 12 + 1):
        feet, rest = divmod(inches, 12)
        metres = inches * 0.0254
        assert parse_length(f"{feet}'{rest}\"") == pytest.approx(metres, abs=ROUNDING)
        assert parse_length(feet_inches(metres)) == pytest.approx(metres, abs=ROUNDING)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12'6\"", 3.81), ("12′6″", 3.81), ("12’6”", 3.81), ("12‘6“", 3.81), ("12'6''", 3.81),
        ("12 ft 6 in", 3.81), ("12 feet 6 inches", 3.81), ("12FT 6IN", 3.81), ("12'6", 3.81),
        ("12' 6 1/2\"", 3.8227), ("12'1/2\"", 3.6703), ("6 in", 0.1524), ('6"', 0.1524),
        ("1/2 in", 0.0127), ("3.5 m", 3.5), ("3.5m", 3.5), ("350cm", 3.5), ("350 cm", 3.5),
        ("3500 mm", 3.5), ("4 steps", 3.6576), ("1 step", 0.9144), ("24 yards", 21.9456),
        (" 72' ", 21.9456), ("0 m", 0.0), ("3.5 metres", 3.5), ("1 metre", 1.0),
        ("3.5 meters", 3.5), ("1 meter", 1.0),
    ],
)  # fmt: skip
def test_ways_to_write_a_length(text: str, metres: float) -> None:
    assert parse_length(text) == pytest.approx(metres, abs=ROUNDING)


@pytest.mark.parametrize(
    ("text", "part", "hint"),
    [
        ("12", "has no unit", "write 12' or 12 m"),
        ("3.5", "has no unit", "write 3.5' or 3.5 m"),
        ("-3", "cannot be negative", "12'6\""),
        ("-3 m", "cannot be negative", "metres"),
        ("3,5 m", "comma", "write 3.5 m"),
        ("1001 m", "longer than", "check the unit"),
        ("5 furlongs", "is not a length", "metres"),
        ("", "is not a length", "metres"),
        ("long", "is not a length", "metres"),
    ],
)
def test_what_is_refused_and_the_hint(text: str, part: str, hint: str) -> None:
    with pytest.raises(UnitError, match=part) as caught:
        parse_length(text)
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("19' - 20'", 5.7912, 6.096), ("19–20'", 5.7912, 6.096), ("7.3-8.0 m", 7.3, 8.0),
        ("12'—12'6\"", 3.6576, 3.81), ("6-7 steps", 5.4864, 6.4008), ("18'", 5.4864, 5.4864),
        ("350 cm - 4 m", 3.5, 4.0), ("18' - 18'", 5.4864, 5.4864),
    ],
)  # fmt: skip
def test_ranges(text: str, low: float, high: float) -> None:
    assert parse_length_range(text) == pytest.approx((low, high), abs=ROUNDING)


@pytest.mark.parametrize("text", ["20'-19'", "19-20", "-5 m", "5 m -", "a-b", ""])
def test_ranges_refused(text: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_length_range(text)
    assert caught.value.hint


@pytest.mark.parametrize(
    ("text", "low", "high"), [("12-12 ft 6 in", 3.6576, 3.81), ("1-13''", 0.0254, 0.3302)]
)
def test_a_range_borrows_the_unit_that_is_meant(text: str, low: float, high: float) -> None:
    assert parse_length_range(text) == pytest.approx((low, high), abs=ROUNDING)


@pytest.mark.parametrize(("text", "inches"), [("13/16 in", 13 / 16), ("11/2 in", 5.5)])
def test_a_fraction_of_two_figures(text: str, inches: float) -> None:
    assert parse_length(text) == pytest.approx(inches * 0.0254, abs=ROUNDING)


def test_a_fraction_over_nought_is_refused() -> None:
    with pytest.raises(UnitError):
        parse_length("1/0 in")


def test_a_fraction_of_thousands_of_figures_is_refused_as_any_other() -> None:
    try:
        parse_length("1/" + "9" * 5000 + " in")
    except UnitError:
        return


def test_speeds_and_angles() -> None:
    assert parse_speed("350 m/min") == pytest.approx(350 / 60)
    assert parse_speed("21.6 km/h") == pytest.approx(6)
    assert parse_speed("6 m/s") == 6
    assert parse_angle("-12.5 degrees") == pytest.approx(math.radians(-12.5))
    assert parse_angle("30°") == pytest.approx(math.pi / 6)
    for parse, text in ((parse_speed, "350"), (parse_angle, "30"), (parse_angle, "steep")):
        with pytest.raises(UnitError) as caught:
            parse(text)
        assert caught.value.hint


@pytest.mark.parametrize(
    ("feet", "text"), [(72, "24 steps"), (73, "24 steps + 1 ft"), (74, "25 steps - 1 ft")]
)
def test_steps(feet: int, text: str) -> None:
    assert steps_text(feet * FOOT) == text


pieces = some.sampled_from(
    ["12", "6", "0", "3.5", "1/2", "7/8", ".", ",", "-", "–", "'", '"', "''", "′", "″", "’", "ft",
     "in", "m", "cm", "steps", "°", "deg", "km/h", "m/s", "e5", "+", " ", "x", "½"]
)  # fmt: skip
texts = some.one_of(some.lists(pieces, max_size=8).map("".join), some.text(max_size=20))


@settings(max_examples=400, deadline=None, derandomize=True)
@given(texts)
def test_nothing_but_unit_errors(text: str) -> None:
    for parse in (parse_length, parse_length_range, parse_speed, parse_angle):
        refused = None
        try:
            parse(text)
        except UnitError as error:
            refused = error
        assert refused is None or refused.hint


@settings(max_examples=200, deadline=None, derandomize=True)
@given(some.floats(0, LONGEST))
def test_printed_feet_and_inches_read_back_to_half_an_inch(metres: float) -> None:
    text = feet_inches(metres)
    if metres <= LONGEST - INCH:
        assert abs(parse_length(text) - metres) <= INCH / 2 + ROUNDING * LONGEST
