"""Several rides over one set of fences: one file, one layout, a plan for each."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import diagram
from diagram.diagnostics import RejectedError
from diagram.pipeline import plan_text
from diagram.planning import Plan

TEXT = """\
tapeline: 1
title: Two groups
purpose: Poles for the beginners, a bend for the others.
arena: 30 x 60 m
level: 2'6"
fences:
  near: {kind: ground pole}
  far: {kind: ground pole}
  birch: {kind: vertical}
  hazel: {kind: oxer, spread: 2'3"}
rides:
  - name: beginners
    horses: {size: medium pony, experience: green}
    gait: trot
    height: 1'6"
    ride:
      - jump: near
      - line: 8 m
      - jump: far
      - turn: left
      - jump: birch
      - finish: straight on, walk
  - name: others
    horses: 12' stride
    ride:
      - start: canter, left lead
      - jump: birch
      - bend: left, 5 strides
      - jump: hazel
      - finish: straight on, walk
"""


def _plans(tmp_path: Path, text: str = TEXT) -> tuple[Plan, ...]:
    file = tmp_path / "two.yaml"
    file.write_text(text, encoding="utf-8")
    return diagram.plans(file)


def test_each_ride_is_a_plan_over_the_same_places(tmp_path: Path) -> None:
    first, second = _plans(tmp_path)
    assert (first.name, second.name) == ("beginners", "others")
    assert [f.pose for f in first.fences] == [f.pose for f in second.fences]
    assert [f.fence.footprint for f in first.fences] == [f.fence.footprint for f in second.fences]
    # Both ways hold at once: 8 m from pole to pole, and 70'7" of a five between the fences.
    assert first.legs[1].track_m == pytest.approx(8.0, abs=0.01)
    assert second.legs[1].track_m == pytest.approx(second.legs[1].target_m, abs=0.01)


def test_each_has_horses_gait_and_heights_of_its_own(tmp_path: Path) -> None:
    first, second = _plans(tmp_path)
    assert (first.terms.horses.size, second.terms.horses.size) == ("medium pony", "horse")
    assert (first.course.start.gait, second.course.start.gait) == ("trot", "canter")
    heights = [p.fence("birch").fence.measures.height_m for p in (first, second)]
    assert heights == pytest.approx([0.4572, 0.762])
    assert not any("never jumped" in f.message for p in (first, second) for f in p.findings)


def test_one_may_be_asked_for() -> None:
    assert plan_text(TEXT, ride="others").name == "others"
    assert plan_text(TEXT).name == "beginners"
    with pytest.raises(RejectedError, match='did you mean "others"'):
        plan_text(TEXT, ride="other")


def test_a_file_with_one_ride_gives_one_plan(tmp_path: Path) -> None:
    text = TEXT.partition("rides:")[0] + "ride:\n  - jump: birch\n"
    [plan] = _plans(tmp_path, text)
    assert plan.name == ""


CROSS = """\
tapeline: 1
title: Crossing
purpose: P
arena: 40 x 60 m
level: 2'
horses: horse
fences:
  along: {kind: vertical, at: [20 m, 20 m], facing: 0°}
  on: {kind: vertical, placed: 5 strides beyond along}
  across: {kind: vertical, at: [31 m, 9 m], facing: 90°}
  over: {kind: vertical, placed: 5 strides beyond across}
rides:
  - name: one
    ride:
      - jump: along
      - line: 5 strides
      - jump: on
  - name: other
    ride:
      - jump: across
      - line: 5 strides
      - jump: over
"""


def test_where_two_that_go_at_once_meet_they_are_warned() -> None:
    """One goes along y = 20 m, the other along x = 31 m."""
    [met] = [f for f in plan_text(CROSS).findings if f.rule == "rides-meet"]
    x, y = dict(met.facts)["at_m"]
    assert math.dist((x, y), (31.0, 20.0)) < 2.4
    assert "one and other" in met.message


def test_a_circle_that_is_said_meets_others_too() -> None:
    """One line along y = 20 m, the other along y = 6 m: they meet where the other finishes on a
    circle of 20 m to the left, up to y = 26 m."""
    text = CROSS.replace("[31 m, 9 m], facing: 90°", "[15 m, 6 m], facing: 0°")
    assert "rides-meet" not in {f.rule for f in plan_text(text, ride="other").findings}
    circle = text.rstrip() + "\n      - finish: circle left 20 m, trot\n"
    assert "rides-meet" in {f.rule for f in plan_text(circle, ride="other").findings}


@pytest.mark.parametrize(
    ("old", "new"),
    [("rides:", "rides go: in turn\nrides:"), ("[31 m, 9 m], facing: 90°", "[20 m, 30 m]")],
)
def test_in_turn_or_apart_they_are_not(old: str, new: str) -> None:
    new = new if "turn" in new else new + ", facing: 0°"
    rules = {f.rule for f in plan_text(CROSS.replace(old, new)).findings}
    assert "rides-meet" not in rules


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("rides:", "ride:\n  - jump: along\nrides:", "not both"),
        ("name: other", "name: one", 'another ride is called "one"'),
        ("- jump: across", "- jump: acros", 'did you mean "across"'),
        ("name: other\n", "name: other\n    horses: hores\n", "no horses known here"),
        ("name: other\n", "name: other\n    gait: gallop\n", "no gait to begin in"),
    ],
)
def test_what_is_wrong_in_one_of_them_is_said_with_its_place(old: str, new: str, said: str) -> None:
    with pytest.raises(RejectedError, match=said) as found:
        plan_text(CROSS.replace(old, new))
    assert found.value.diagnostics[0].span is not None
    assert found.value.diagnostics[0].span.line >= 10


def test_a_file_for_each_ride_is_written(tmp_path: Path) -> None:
    from click.testing import CliRunner

    from diagram.cli import main

    file = tmp_path / "two.yaml"
    file.write_text(TEXT, encoding="utf-8")
    done = CliRunner().invoke(
        main, ["draw", str(file), "--to", str(tmp_path / "out"), "--as", "svg"]
    )
    assert done.exit_code == 0, done.output
    assert sorted(f.name for f in (tmp_path / "out").glob("*.svg")) == [
        "two-beginners.svg", "two-others.svg",
    ]  # fmt: skip


def test_how_a_fence_is_built_is_judged_by_those_who_jump_it(tmp_path: Path) -> None:
    # 2'3" wide is no fault at 2'6" for the others; the beginners, at 1'6", go past it.
    first, second = _plans(tmp_path)
    assert "wider-than-high" not in {
        finding.rule for finding in (*first.findings, *second.findings)
    }
    jumped = TEXT.replace("- turn: left\n      - jump: birch", "- turn: left\n      - jump: hazel")
    first, _ = _plans(tmp_path, jumped)
    assert "wider-than-high" in {finding.rule for finding in first.findings}
