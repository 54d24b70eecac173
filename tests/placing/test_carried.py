"""Exercises that were once pushed off the lines of the ring, and stand on them."""

import math

import numpy as np
from said import Said, gate
from test_sixty import PLACE, ground_of, placed

from diagram.pipeline import plan_text
from diagram.placing.designer.ground import off_direction
from diagram.planning import Plan

ON_LINE_RAD = math.radians(1)
"""A line that is told from one with the rail by no eye (common practice, no source)."""
UP_AND_DOWN = Said("up and down", gate("80 x 40 m"), "horse", "ash -5- birch < birch' -5- ash'")
SMALLER = """tapeline: 1
title: Six
purpose: Course.
level: 2'6"
arena: 100 x 200 ft
horses: horse
fences:
  ash: {kind: vertical}
  birch: {kind: oxer}
  cedar: {kind: vertical}
  dogwood: {kind: oxer}
  elm: {kind: vertical}
  fir: {kind: oxer}
ride:
  - start: canter, left lead
  - jump: ash
  - line: 5 strides
  - jump: birch
  - turn: left
  - jump: cedar
  - line: 4 strides
  - jump: dogwood
  - turn: right
  - jump: elm
  - bend: right, 6 strides
  - jump: fir
  - finish: circle right 20 m, walk
"""
TWO_COUNTS = """tapeline: 1
title: Seven or six
purpose: Adjust.
level: 2'6"
arena: 40 x 80 m
horses: horse
fences:
  ash: {kind: vertical}
  birch: {kind: oxer}
ride:
  - start: canter, left lead
  - jump: ash
  - bend: left 60°, 7 strides or 6
  - jump: birch
  - finish: halt on the line
"""
RING_OF_FOUR = """tapeline: 1
title: Four on a circle in the small school
purpose: One rhythm all the way round.
arena: 20 x 40 m
horses: horse
fences:
  ash: {kind: cross-rail, height: 1'6"}
  birch: {kind: cross-rail, height: 1'6"}
  cedar: {kind: cross-rail, height: 1'6"}
  dog: {kind: cross-rail, height: 1'6"}
ride:
  - start: canter, left lead
  - jump: ash
  - bend: left 90°, 3 strides, round
  - jump: birch
  - bend: left 90°, 3 strides, round
  - jump: cedar
  - bend: left 90°, 3 strides, round
  - jump: dog
  - bend: left 90°, 3 strides, round
  - jump: ash
  - finish: straight on, walk
"""


def amiss(plan: Plan) -> list[str]:
    return [f.rule for f in plan.findings if f.rule in PLACE and str(f.severity) != "note"]


def off_a_rail(plan: Plan, fence: str) -> float:
    heading = np.array(plan.fence(fence).pose.heading)
    return float(off_direction(heading, ground_of(plan).rails))


def test_out_and_back_over_one_line_lies_with_the_rail() -> None:
    plan = placed(UP_AND_DOWN)
    assert plan.layout.outcome.startswith("placed")
    assert amiss(plan) == []
    assert off_a_rail(plan, "ash") < ON_LINE_RAD


def test_a_bend_in_two_counts_starts_on_a_line_of_the_ring() -> None:
    plan = plan_text(TWO_COUNTS)
    assert amiss(plan) == []
    ground = ground_of(plan)
    lines = np.concatenate([ground.rails, ground.diagonals])
    assert float(off_direction(np.array(plan.fence("ash").pose.heading), lines)) < ON_LINE_RAD


def test_a_course_that_ends_on_a_circle_starts_along_a_rail() -> None:
    plan = plan_text(SMALLER)
    assert plan.layout.outcome.startswith("placed")
    assert "start-off-the-wall" not in amiss(plan)
    assert off_a_rail(plan, "ash") < ON_LINE_RAD


def test_a_circle_too_wide_to_stand_square_stands_turned_in_a_small_ring() -> None:
    """Three strides round to the quarter make a radius of 7.6 m (48 m round, by pi): with half a
    fence outside of it to both sides no ring of 20 m has room for fences square to its sides."""
    plan = plan_text(RING_OF_FOUR)
    assert plan.layout.outcome.startswith("placed")
    assert math.isclose(plan.legs[1].min_radius_m, 24 / math.pi, rel_tol=0.01)
    assert not [f for f in plan.findings if str(f.severity) == "stop"]
