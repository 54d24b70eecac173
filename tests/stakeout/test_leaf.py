"""The builder's leaf: a crew with the printed figures alone finds every foot again.

Rounding to the inch puts a foot off by at most an inch and a half, to 5 cm by three inches: half
a step in each of two tapes that cross at 35 degrees or more is 1.2 steps at most, and the poles
turn the outer foot a little further.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
import rebuilt
import rebuilt_leaf

from diagram.pipeline import plan, setting_bytes, setting_of
from diagram.stakeout.crew import crew_for
from diagram.stakeout.points import feet
from diagram.units import Units

EXERCISES = sorted((Path(__file__).parents[2] / "exercises").glob("*-*.yaml"))
NAMES = [file.stem for file in EXERCISES]
INCH = 0.0254
WITHIN = {"feet": 1.5 * INCH, "metres": 0.075}


@cache
def _plan(stem: str):  # type: ignore[no-untyped-def]
    return plan(next(file for file in EXERCISES if file.stem == stem))


@cache
def _setting(stem: str, units: Units):  # type: ignore[no-untyped-def]
    return setting_of(_plan(stem), crew_for(units))


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", NAMES)
def test_every_figure_of_the_leaf_rebuilds_every_foot(stem: str, units: Units) -> None:
    table = rebuilt.rows(setting_bytes(_setting(stem, units), "csv"))
    found, planned = rebuilt_leaf.Crew(table).feet, feet(_plan(stem))
    assert found.keys() == planned.keys()
    for name, at in found.items():
        assert math.dist(at, planned[name]) < WITHIN[units], name


@pytest.mark.parametrize("stem", NAMES)
def test_no_reading_is_longer_than_the_tape(stem: str) -> None:
    setting = _setting(stem, "feet")
    assert not setting.crew.joined(setting.leaf.longest_m)
    assert {fence.name for fence in setting.leaf.fences} == {f.name for f in _plan(stem).fences}


@pytest.mark.parametrize("stem", NAMES)
def test_every_check_is_a_length_between_what_was_set(stem: str) -> None:
    table = rebuilt.rows(setting_bytes(_setting(stem, "feet"), "csv"))
    crew = rebuilt_leaf.Crew(table)
    checks = rebuilt.of(table, "check")
    assert checks or len(rebuilt.of(table, "fence")) < 2
    for check in checks:
        length = math.dist(crew.marks[check["from"]], crew.marks[check["to"]])
        assert abs(length - float(check["exact_m"])) <= float(check["off_by_m"])
        assert abs(float(check["reads_m"]) - float(check["exact_m"])) <= INCH / 2 + 1e-4
