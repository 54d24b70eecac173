"""What jumps are called, and the gait that each fence is come to in."""

from __future__ import annotations

import pytest

from diagram.exercise.course import called, element_names
from diagram.model.definition import FenceWritten
from diagram.path.measures import straight_after
from diagram.pipeline import plan_text
from diagram.planning import Plan

HEAD = """\
tapeline: 1
title: T
purpose: P
level: 2'
arena: 40 x 80 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [20 m, 8 m], facing: 0°}
  double:
    kind: combination
    at: [40 m, 8 m]
    facing: 0°
    elements:
      - {kind: vertical}
      - {kind: vertical, after: 1 stride}
  grid:
    kind: combination
    at: [50 m, 30 m]
    facing: 180°
    elements:
      - {kind: placing pole}
      - {kind: cross-rail, after: 9'}
      - {kind: vertical, after: 1 stride}
  pole: {kind: ground pole, at: [30 m, 20 m], facing: 180°}
"""


def _plan(*steps: str) -> Plan:
    return plan_text(HEAD + "ride:\n" + "".join(f"  - {step}\n" for step in steps))


def _labels(made: Plan) -> list[str]:
    return [crossing.jump.label for crossing in made.crossings]


def test_elements_have_letters_and_placing_poles_nothing() -> None:
    made = _plan("start: canter", "jump: birch", "line: 12 m", "jump: double", "turn: left",
                 "jump: grid")  # fmt: skip
    assert _labels(made) == ["1", "2a", "2b", "", "3a", "3b"]
    assert made.totals.jumps == 5
    assert made.numbers()["grid pole"] == ()
    assert made.numbers()["grid a"] == ("3a",)
    assert made.numbers()["grid b"] == ("3b",)
    assert called(crossing.jump for crossing in made.crossings[3:]) == "3a–3b"


def test_poles_of_a_combination_have_names_of_their_own() -> None:
    """Letters are those of the jumps; of poles alone, which are no jumps, they are of the poles."""
    fence, pole = {"kind": "vertical"}, {"kind": "ground pole"}

    def names(*elements: dict[str, str]) -> list[str]:
        written = FenceWritten.model_validate({"kind": "combination", "elements": list(elements)})
        return element_names("row", written)

    assert names(fence, fence) == ["row a", "row b"]
    assert names(pole, fence, fence) == ["row pole", "row a", "row b"]
    assert names(pole, fence, pole, fence) == ["row pole 1", "row a", "row pole 2", "row b"]
    assert names(pole, pole, pole) == ["row a", "row b", "row c"]


def test_letters_are_in_the_order_jumped() -> None:
    made = _plan("start: canter", "jump: double from behind")
    assert [(c.fence.name, c.jump.label) for c in made.crossings] == [
        ("double b", "1a"), ("double a", "1b"),
    ]  # fmt: skip


@pytest.mark.parametrize(("gait", "label"), [("canter", "1"), ("trot", ""), ("walk", "")])
def test_a_pole_is_a_jump_only_in_canter(gait: str, label: str) -> None:
    made = _plan(f"start: {gait}", "jump: pole", "turn: right", "jump: birch")
    assert _labels(made) == [label, "2" if label else "1"]
    assert made.totals.jumps == (2 if label else 1)


def _gaits(made: Plan) -> list[str]:
    return [leg.link.arrives for leg in made.legs if leg.link.second and not leg.link.inner]


def test_a_trot_that_is_said_holds_until_another_gait_is() -> None:
    """A grid ridden again and again from trot; a line after a fence is cantered."""
    made = _plan("start: trot", "jump: grid", "turn: left", "jump: grid", "turn: left, canter",
                 "jump: birch", "line: 12 m", "jump: double", "turn: left",
                 "jump: grid")  # fmt: skip
    assert _gaits(made) == ["trot", "trot", "canter", "canter", "canter"]
    twice = [leg for leg in made.legs if leg.link.inner and leg.first.fence.name == "grid a"]
    assert [leg.resolved.gap for leg in twice] == [1, 1, None]


def test_poles_are_left_in_the_gait_they_were_met_in_every_time() -> None:
    """Trot poles before a fence, ridden again after the turn: no stride of canter comes between."""
    made = _plan("start: trot", "jump: pole", "line: 3 m", "jump: birch", "turn: left, trot",
                 "jump: pole", "line: 3 m", "jump: birch", "turn: left, canter", "jump: pole",
                 "line: 12 m", "jump: birch")  # fmt: skip
    assert _gaits(made) == ["trot", "trot", "trot", "trot", "canter", "canter"]
    assert "approach-too-short" not in {finding.rule for finding in made.findings}


def test_a_trot_said_in_a_turn_is_ridden_there() -> None:
    made = _plan("start: canter", "jump: birch", "turn: left, trot", "jump: grid")
    turn = made.legs[1]
    assert [stretch.gait for stretch in turn.ridden.stretches] == ["canter", "trot"]
    # Two to three strides of 12', and no longer than the track is straight.
    assert 2 * 3.6576 <= turn.ridden.stretches[0].length_m <= 3 * 3.6576
    assert turn.ridden.stretches[0].length_m <= straight_after(turn.curve) + 0.01
    assert made.legs[2].link.gait == "trot"
    assert turn.seconds > made.legs[1].track_m / made.totals.clock.speed


LINE = HEAD + "  oak: {kind: vertical, facing: 0°}\nride:\n  - jump: birch\n"


def _line(said: str) -> Plan:
    return plan_text(LINE + f"  - line: {said}\n  - jump: oak\n")


def test_two_counts_on_a_line_have_one_length_between_them() -> None:
    """Five are 70' to 74' and four 58' to 62' (published, quoted [S1]): 66' is half-way."""
    leg = _line("5 strides or 4 forward").legs[1]
    five, four = leg.resolved.count, leg.resolved.others[0]
    assert (five.strides, five.pace, four.strides, four.pace) == (5, "normal", 4, "forward")
    assert leg.target_m == pytest.approx((five.asked.low_m + four.asked.high_m) / 2)
    assert leg.track_m == pytest.approx(leg.target_m, abs=0.01)
    [other] = leg.others
    assert other.strides == 4
    assert other.way.curve is leg.curve


def test_a_length_may_be_said_with_two_counts() -> None:
    assert _line("five strides or four forward at 67'").legs[1].track_m == pytest.approx(
        67 * 0.3048, abs=0.01
    )


def test_two_counts_on_a_bend_are_two_lines() -> None:
    made = plan_text(
        "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'\narena: 40 x 80 m\nhorses: 12' stride\n"
        "fences: {birch: {kind: vertical}, oak: {kind: vertical}}\nride:\n  - jump: birch\n"
        "  - bend: left, 6 strides or 5 forward\n  - jump: oak\n"
    )
    leg = made.legs[1]
    assert [count.strides for count in (leg.resolved.count, *leg.resolved.others)] == [6, 5]
    assert [other.strides for other in leg.others] == [5]
    assert leg.others[0].way.curve.length < leg.track_m


@pytest.mark.parametrize("said", ["5 strides or 5 forward", "5 strides or no strides"])
def test_two_counts_differ(said: str) -> None:
    with pytest.raises(Exception, match="two counts that differ"):
        _line(said)
