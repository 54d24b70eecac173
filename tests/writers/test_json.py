"""The plan as values for machines: the figures of the ride, and all that the pages say.

In the trial hazel stands turned by 20° on a straight line: 20 m + 78 ft + 2 ft 6 in / cos 20° / 2.
"""

from __future__ import annotations

import pytest

from diagram.pipeline import plan_text
from diagram.planning import Plan
from diagram.units import FOOT
from diagram.writers.json import plan_values

TEXT = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
horses: 12' stride
speed: 375 m/min
rounds: 4
riders: 5
fences:
  birch: {kind: vertical, at: [20 m, 10 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, spread: 2'6", at: [44.1799 m, 10 m], facing: -20°}
  elm: {kind: vertical, at: [60 m, 28 m], facing: 180°}
  oak: {kind: vertical, placed: 132 ft beyond elm}
ride:
  - start: canter, left lead
  - jump: birch
  - line: 5 strides
  - jump: hazel, angled left 20°, land on the right lead
  - turn: left, flying change
  - jump: elm
  - line: 10 strides, walk 5 steps after 3 strides
  - jump: oak
allow:
  distance-off: Set long, to be ridden forward.
"""


@pytest.fixture(scope="module")
def made() -> Plan:
    return plan_text(TEXT)


def test_every_figure_is_there_for_machines_too(made: Plan) -> None:
    values = plan_values(made)
    line, turn, walk = values["legs"][1:4]
    stride = ((78 - 12) * FOOT + 0.1) / 5
    assert line["stride"]["stride_m"] == pytest.approx(stride, abs=0.001)
    assert line["landing_m"] == pytest.approx(6 * FOOT, abs=0.0001)
    assert line["take_off_m"] == pytest.approx(6 * FOOT - 0.1, abs=0.0001)
    assert [other["strides"] for other in line["other_counts"]] == [4, 6]
    assert line["angled"]["run_out"] == "left"
    assert line["angled"]["spread_m"] == pytest.approx(2.5 * FOOT * 1.0641778, abs=0.0001)
    assert turn["changes"][0]["kind"] == "flying"
    assert walk["transition"]["canter_in"]["strides"] == 3
    assert walk["transition"]["begin_m"] == pytest.approx(42 * FOOT, abs=0.0001)
    assert [spot["what"] for spot in walk["spots"]].count("step") == 5
    assert sum(spot["what"] == "stride" for spot in line["spots"]) == 5
    totals = values["totals"]
    assert (totals["efforts_per_horse"], totals["efforts_per_lesson"]) == (16, 80)
    assert totals["time_limit_s"] == 2 * totals["time_allowed_s"]
