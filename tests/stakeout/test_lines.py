"""The lines that a crew tapes: base to base, whichever way and at what angle they are ridden."""

from __future__ import annotations

import math

import pytest

from diagram.pipeline import plan_text, setting_of
from diagram.stakeout.crew import crew_for
from diagram.stakeout.lines import taped_lines
from diagram.stakeout.points import feet

HEAD = """\
tapeline: 1
title: Lines
purpose: P.
level: 3'
arena: 80 x 40 m
horses: 12' stride
fences:
  birch: {kind: oxer, spread: 3', ground line: both sides, at: [20 m, 20 m], facing: 0°}
  hazel: {kind: oxer, spread: 3', ground line: both sides, placed: 5 strides beyond birch}
  askew: {kind: vertical, at: [60 m, 31 m], facing: 75°}
ride:
"""


def test_a_line_ridden_both_ways_is_one_line() -> None:
    ride = (
        "  - start: canter\n  - jump: birch\n  - line: 5 strides\n  - jump: hazel\n  - turn: left\n"
        "  - jump: hazel from behind\n  - line: 5 strides\n  - jump: birch from behind\n"
        "  - finish: straight on, walk\n"
    )
    made = plan_text(HEAD + ride)
    [line] = taped_lines(made)
    assert (line.start.row, line.end.row) == ("back", "front")
    assert line.straight_m == pytest.approx(made.legs[1].track_m, abs=1e-9)


def test_from_behind_first_turns_front_and_back() -> None:
    ride = (
        "  - start: canter\n  - jump: hazel from behind\n  - line: 5 strides\n"
        "  - jump: birch from behind\n  - finish: straight on, walk\n"
    )
    made = plan_text(HEAD + ride)
    [line] = taped_lines(made)
    assert (line.start.fence, line.start.row) == ("hazel", "back")
    assert (line.end.fence, line.end.row) == ("birch", "front")
    assert line.straight_m == pytest.approx(made.legs[1].track_m, abs=1e-9)


def test_on_an_angle_a_spread_is_left_beside_its_middle() -> None:
    ride = (
        "  - start: canter\n  - jump: birch, angled left 10°\n  - line: 5 strides\n"
        "  - jump: hazel, angled left 10°\n  - finish: straight on, walk\n"
    )
    made = plan_text(HEAD + ride)
    [line] = taped_lines(made)
    aside = 0.9144 / 2 * math.tan(math.radians(10))
    assert line.start.left_m == pytest.approx(aside)
    assert line.end.left_m == pytest.approx(-aside)
    start = line.start.place(feet(made))
    assert start == pytest.approx(made.crossings[0].leave.point, abs=1e-9)
    assert line.end.place(feet(made)) == pytest.approx(made.crossings[1].enter.point, abs=1e-9)


def test_a_line_that_is_not_straight_is_still_what_a_tape_reads() -> None:
    """The checks stop such a ride; the sheet says how far apart the fences stand all the same."""
    ride = (
        "  - start: canter\n  - jump: hazel\n  - line: 5 strides\n  - jump: askew\n"
        "  - finish: straight on, walk\n"
    )
    made = plan_text(HEAD + ride)
    setting = setting_of(made, crew_for("feet"))
    [one] = setting.lines
    places = feet(made)
    ends = [
        tuple((places[f"{n} left{row}"][k] + places[f"{n} right{row}"][k]) / 2 for k in (0, 1))
        for n, row in (("hazel", " back"), ("askew", ""))
    ]
    assert one.line.straight_m == pytest.approx(math.dist(*ends), abs=1e-9)
    assert abs(one.most_m) < 0.0254
