"""What the card says of the ride, and that a machine can read the same figures.

In the trial hazel stands turned by 20° on a straight line: 20 m + 78 ft + 2 ft 6 in / cos 20° / 2.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from card_trials import pages_of

from diagram.pipeline import plan, plan_text
from diagram.planning import Plan
from diagram.sections.legs import clock_text, leg_texts
from diagram.units import FOOT
from diagram.writers.card import card_bytes
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


def _said(plan: Plan, leg: int) -> dict[str, str]:
    return dict(leg_texts(plan.legs[leg], plan, "feet").taught)


def test_the_stride_a_line_needs_and_the_count_beside_it(made: Plan) -> None:
    """78 ft less 6 ft of landing and 5 ft 8 in of take-off (10 cm nearer, [S3]): 66 ft 4 in, which
    is five of 13 ft 3 in, 111 in 100, or six of 11 ft 1 in."""
    said = _said(made, 1)
    assert said["On the ground"] == (
        "land 6' out, 5 strides of 13'3\" (111% of normal, forward), take off 5'8\" before"
    )
    assert said["Or"] == "waiting six of 11'1\" (92%)"


def test_what_an_angle_does(made: Plan) -> None:
    """12 ft x cos 20° = 11 ft 3 in; 2 ft 6 in / cos 20° = 2 ft 8 in, half of it a side; a foot
    x tan 20° = 4 in."""
    assert _said(made, 1)["Angle"] == (
        '11\'3" of front to aim at, the spread of 2\'6" rides as 2\'8", each line beside it 1" '
        'shorter, the run-out is to the left, a foot towards it meets the fence 4" later'
    )


def test_the_change_and_its_strides(made: Plan) -> None:
    [change] = made.legs[2].ridden.changes
    said = _said(made, 2)["Change"]
    assert said == f"to the left lead, {change.strides:.1f} strides for it before the turn"


def test_both_canters_and_the_cones(made: Plan) -> None:
    """Landing at 6 ft and three strides are 42 ft; 4 m of walk; see the sums of transitions."""
    said = _said(made, 3)
    assert said["Canter in"].startswith("3 strides of 12', 42' in all, 2.0 s at 375 m/min")
    assert "3 strides more, 34'11\" longer" in said["Canter out"]
    assert said["Cones"] == "at 42' and 55'1\" from elm; ask by 18'"


def test_the_clock(made: Plan) -> None:
    """With a walk on the way nothing is timed."""
    assert clock_text(made) == "4 rounds make 16 efforts for a horse and 80 for 5 riders."


def test_what_is_allowed_is_printed_with_its_reason_and_its_limit(made: Plan) -> None:
    text = " ".join(pages_of(card_bytes(made)))
    assert "ALLOWED" in text
    assert "Allowed by the trainer: Set long, to be ridden forward." in text
    assert "Limit: common practice (no source)" in text


def test_metres_for_those_who_want_them(made: Plan) -> None:
    said = dict(leg_texts(made.legs[1], made, "metres").taught)
    assert said["On the ground"].startswith("land 1.83 m out, 5 strides of 4.04 m")
    assert "a metre towards it meets the fence 0.36 m later" in said["Angle"]


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
    assert totals["timed_m"] is totals["time_limit_s"] is totals["time_allowed_s"] is None


SHIPPED = sorted((ROOT / "exercises").glob("*-*.yaml"))


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_the_letters_of_a_card_are_those_of_its_drawing(file: Path) -> None:
    made = plan(file)
    text = " ".join(pages_of(card_bytes(made)))
    for finding in made.findings:
        assert f"({dict(finding.facts)['mark']})" in text
