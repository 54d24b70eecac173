"""The plan as values for machines: the figures of the ride, and all that the pages say.

In the trial hazel stands turned by 20° on a straight line: 20 m + 78 ft + 2 ft 6 in / cos 20° / 2.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from diagram.pipeline import plan, plan_text
from diagram.planning import Plan
from diagram.units import FOOT
from diagram.writers.json import plan_values

ROOT = Path(__file__).parents[2]
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
    # A ride with a walk in it has no time allowed.
    assert (totals["time_allowed_s"], totals["time_limit_s"]) == (None, None)


def test_it_holds_what_the_pages_say() -> None:
    """Rebuilt from the values alone: each leg's pieces end where the next fence stands."""
    twice = plan(ROOT / "exercises" / "every-fence-twice.yaml")
    values = plan_values(twice)
    assert values["arena"]["gate"]["side"] == "yard end"
    assert set(values["arena"]["sides"]) == set(twice.arena.sides)
    assert values["phases"] == ["the way out", "the way home"]
    assert values["texts"]["if_it_goes_wrong"]
    turn, jump = values["legs"][2]["texts"], values["jumps"][2]["texts"]
    assert turn["purpose"] != jump["purpose"] != ""
    assert [one["landing_lead"] for one in values["jumps"]][3:6] == ["left", "left", "right"]
    assert [one["changed_over_fence"] for one in values["jumps"]].count(True) == 1
    assert values["jumps"][4]["other_side"] is True
    for crossing in values["crossings"]:
        assert crossing["later_leg"] >= crossing["earlier_leg"]
    assert values["crossings"]
    for leg, made in zip(values["legs"], twice.legs, strict=True):
        assert sum(piece["length_m"] for piece in leg["pieces"]) == pytest.approx(
            leg["track_m"], abs=0.01
        )
        x, y, heading = leg["begins"]
        heading = math.radians(heading)
        for piece in leg["pieces"]:
            steps = 400
            for n in range(steps):
                bend = piece["k0"] + (piece["k1"] - piece["k0"]) * (n + 0.5) / steps
                step = piece["length_m"] / steps
                middle = heading + bend * step / 2
                x, y = x + step * math.cos(middle), y + step * math.sin(middle)
                heading += bend * step
        # Curvature is given to six decimals: 1e-6/m over 100 m is 5 mm.
        assert (x, y) == pytest.approx(made.curve.end.point, abs=0.02)
    fence = values["fences"][1]
    assert fence["safety_cups_at"]
    assert {bar["kind"] for bar in fence["bars"]} >= {"pole", "ground line"}
