"""What is off is told in the units of the file, and as it is measured."""

from __future__ import annotations

import re

import pytest

from diagram.diagnostics import Diagnostic
from diagram.pipeline import plan_text
from diagram.planning import Plan
from diagram.units import parse_length

FILE = """\
tapeline: 1
title: T
purpose: P
{level}arena: {arena}
horses: {horses}
fences:
  birch: {{kind: vertical, at: [12 m, 15 m], facing: 0°{height}}}
  elm: {{kind: vertical, at: [{x}, 15 m], facing: 0°{height}}}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: P
  - line: {line}
  - jump: elm
    purpose: P
  - finish: straight on, walk
"""
FEET = re.compile(r"\d['\"]")
METRES = re.compile(r"\d (?:m|cm)\b")
LENGTH = r"(\d[\d.]* m|\d+'(?:\d+\")?|\d+\")"


def planned(
    level: str = "level: 0.80 m", x: str = "32 m", line: str = "5 strides", height: str = "",
    horses: str = "horse",
) -> Plan:  # fmt: skip
    level = level and f"{level}\n"
    return plan_text(FILE.format(level=level, x=x, line=line, height=height, horses=horses,
                                 arena="30 x 70 m"))  # fmt: skip


def off(plan: Plan) -> list[Diagnostic]:
    return [f for f in plan.findings if f.rule in ("distance-off", "between-two-counts")]


@pytest.mark.parametrize(
    ("level", "height", "metric"),
    [
        ("level: 0.80 m", "", True), ("level: 80 cm", "", True), ("", ", height: 0.80 m", True),
        ("level: 2'9\"", "", False), ("level: 33 in", "", False), ("", ", height: 2'9\"", False),
    ],
)  # fmt: skip
@pytest.mark.parametrize("x", ["30.4 m", "31.5 m", "37 m"])
def test_lengths_are_in_the_units_of_the_file(
    level: str, height: str, metric: bool, x: str
) -> None:
    if not metric:
        # Places of fences are lengths as well: those of this file are in feet.
        x = f"{round(float(x[:-2]) / 0.3048)}'"
    text = FILE.format(level=level and f"{level}\n", x=x, line="5 strides", height=height,
                       horses="horse", arena="30 x 70 m")  # fmt: skip
    text = text if metric else text.replace("12 m, 15 m", "39', 49'").replace("15 m", "49'")
    found = off(plan_text(text))
    assert found
    for one in found:
        said = f"{one.message} {one.hint}"
        assert bool(METRES.search(said)) == metric
        assert bool(FEET.search(said)) != metric


@pytest.mark.parametrize("level", ["level: 0.80 m", "level: 2'9\""])
@pytest.mark.parametrize("horses", ["horse", "small pony", "green large pony"])
@pytest.mark.parametrize(
    ("x", "line"),
    [("30.4 m", "5 strides"), ("32 m", "5 strides"), ("38 m", "5 strides"), ("18 m", "1 stride"),
     ("24.6 m", "2 strides"), ("36 m", "6 strides"), ("20.4 m", "1 stride")],
)  # fmt: skip
def test_what_is_off_adds_up(level: str, horses: str, x: str, line: str) -> None:
    """The length, less what it is too long, is the longest known: to the last figure printed."""
    plan = planned(level, x, line, horses=horses)
    leg = plan.legs[1]
    last = 0.0051 if "m" in level else 0.0128
    for one in off(plan):
        if one.rule != "distance-off":
            continue
        said = re.match(rf"{LENGTH} is (?:{LENGTH}|a little) too (long|short)", one.message)
        assert said
        assert parse_length(said[1]) == pytest.approx(leg.track_m, abs=last)
        known = re.search(rf"the (longest|shortest) known is {LENGTH}", one.hint)
        if known is None or said[2] is None:
            continue
        assert known[1] == ("longest" if said[3] == "long" else "shortest")
        sign = -1 if said[3] == "long" else 1
        reckoned = parse_length(said[1]) + sign * parse_length(said[2])
        assert reckoned == pytest.approx(parse_length(known[2]), abs=3 * last)
