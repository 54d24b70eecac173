"""Small layouts that are ridden every day: loops over poles, a walk in the middle of a line.

Serpentines in trot over poles 9 to 12 m apart, almost to the rail, are published (US riding
magazine, serpentine over poles [S121]); the strides beside a walk are common practice.
"""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from diagram.changing import proven_changes
from diagram.cli import main
from diagram.pipeline import plan_text

SERPENTINE = """\
tapeline: 1
title: Serpentine over poles
purpose: Bend evenly.
level: 2'
arena: {arena}
fences: {{birch: ground pole, elm: ground pole, ash: ground pole}}
arrange: birch, elm, ash in a serpentine {loop}
ride:
  - start: {gait}
  - jump: birch
  - turn: left
  - jump: elm
  - turn: right
  - jump: ash
  - finish: with the rail, walk
"""
WALK = """\
tapeline: 1
title: Walk between
purpose: Wait.
level: 2'
arena: 30 x 60 m
horses: {horses}
fences: {{birch: vertical, elm: vertical}}
ride:
  - start: canter, left lead
  - jump: birch
  - line: {line}
  - jump: elm
  - finish: straight on, walk
"""


@pytest.mark.parametrize(("arena", "loop"), [("20 x 60 m", "15 m"), ("20 x 40 m", "12 m")])
def test_a_serpentine_in_trot_over_poles_has_room(arena: str, loop: str) -> None:
    plan = plan_text(SERPENTINE.format(arena=arena, loop=loop, gait="trot, left rein"))
    assert plan.layout.outcome.startswith("placed")
    assert not [f for f in plan.findings if f.severity.rank <= 2]
    turns = [leg for leg in plan.legs if leg.shape == "turn"]
    assert [leg.straight_m for leg in turns] == pytest.approx([float(loop[:2])] * 2, abs=1e-3)
    for leg in turns:
        assert leg.min_radius_m >= plan.limits.trot.manner.least_radius - 0.02


@pytest.mark.parametrize("line", ["5, walk 5, 5", "4, walk 3, 4", "5, halt 4, 5"])
def test_a_walk_said_by_its_sides_rides_as_it_is_said(line: str) -> None:
    plan = plan_text(WALK.format(line=line, horses="horse"))
    both = plan.legs[1].ridden.in_and_out
    assert both is not None
    sides = int(line[0])
    assert (both.canter_in.strides, both.canter_out.strides) == (sides, sides)
    assert not [f for f in plan.findings if f.rule == "no-room-for-transition"]


@pytest.mark.parametrize("horses", ["horse", "small pony"])
@pytest.mark.parametrize("line", ["5, walk 10, 5", "4, walk 12, 4"])
def test_where_the_steps_take_the_ground_it_is_told(line: str, horses: str) -> None:
    text = WALK.format(line=line, horses=horses)
    (found,) = [f for f in plan_text(text).findings if f.rule == "no-room-for-transition"]
    better = re.search(r"write (.+)$", found.hint)
    assert better
    mended = plan_text(text.replace(line, better[1]))
    both = mended.legs[1].ridden.in_and_out
    assert both is not None
    assert both.canter_in.strides == both.canter_out.strides == int(line[0])
    assert not [f for f in mended.findings if f.rule == "no-room-for-transition"]


def test_a_start_off_the_wall_has_its_side_among_the_changes() -> None:
    text = WALK.format(line="8 strides, walk 5 steps in the middle", horses="horse")
    plan = plan_text(text)
    assert "start-off-the-wall" in {f.rule for f in plan.findings}
    shown: list[str] = []
    (proven,) = proven_changes(plan, enough=1, show=lambda one: shown.append(one.words))
    assert shown == [proven.words]
    side = proven.words.removeprefix("a start along ")
    assert f"- start: canter, left lead, along {side}\n" in proven.text
    mended = plan_text(proven.text)
    assert "start-off-the-wall" not in {f.rule for f in mended.findings}


def test_the_relations_of_a_plan_are_told(tmp_path) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "walk.yaml"
    file.write_text(WALK.format(line="5 strides", horses="horse"), encoding="utf-8")
    done = CliRunner().invoke(main, ["measure", "--relations", str(file)])
    assert done.exit_code == 0, done.output
    assert "in all; less is better" in done.output
