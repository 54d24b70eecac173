"""Minutes in which fences are moved, and what other exercises have standing or not yet."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from click.testing import CliRunner
from lesson_trials import HIGH, LOW, fence, spot, text

from diagram.cli import main
from diagram.lessons.lesson import Lesson, read_lesson
from diagram.lessons.moves import SpotChange, minutes_to_move, order_of
from diagram.lessons.others import not_there_yet, standing_behind
from diagram.lessons.printing import _as_ridden
from diagram.lessons.refusals import judged
from diagram.lessons.sheet import running_sheet
from diagram.scene import Text
from diagram.sections.care import warnings_of
from diagram.trade.lessons import lesson_facts

HEAD = """\
tapeline lesson: 1
title: L
time: {time}
may move: yes
set up: as drawn
groups:
  A: {{riders: 2, horses: horse}}
run:
  - group: A
  - warm up: 12 min
  - exercise: one
    minutes: 10
  - exercise: two
    minutes: 10
  - cool down: 5 min
"""
RIDE = "start: canter; jump: {}; finish: straight on, walk"


def _lesson(
    folder: Path, one: str, two: str, time: str = "18:00-20:00", more: str = "",
    ride: str = "birch", home: str = "",
) -> Lesson:  # fmt: skip
    first = RIDE.format(f"birch; {home}" if home else "birch")
    (folder / "one.yaml").write_text(text("One", one, first), encoding="utf-8")
    (folder / "two.yaml").write_text(text("Two", two, RIDE.format(ride), more), encoding="utf-8")
    file = folder / "lesson.yaml"
    file.write_text(HEAD.format(time=time), encoding="utf-8")
    return judged(read_lesson(file))


def test_minutes_are_the_rule_said_on_the_sheet() -> None:
    """Common practice, from the data file: a walk, each fence, each pole, each rail."""
    facts = lesson_facts()
    walk, rail = facts.minutes_to_walk_in.value, facts.minutes_for_a_rail.value
    into, out = facts.minutes_for_a_fence_in.value, facts.minutes_for_a_fence_out.value
    pole = facts.minutes_for_a_pole_in.value
    assert minutes_to_move(()) == 0
    fence_in, pole_in = SpotChange("a", "in"), SpotChange("b", "in", pole=True)
    assert minutes_to_move([fence_in]) == math.ceil(walk + into)
    assert minutes_to_move([fence_in, SpotChange("c", "out")]) == math.ceil(walk + into + out)
    assert minutes_to_move([pole_in]) == math.ceil(walk + pole) < minutes_to_move([fence_in])
    up = order_of([spot("a", {0: LOW, 1: HIGH})], (0, 1)).changes[1]
    assert minutes_to_move(up) == math.ceil(walk + rail)


def test_a_line_begins_when_its_fences_stand(tmp_path: Path) -> None:
    made = _lesson(tmp_path, fence("birch", 30, 10), fence("birch", 40, 10))
    warm, one, two, cool = made.lines
    assert made.order is not None
    assert two.moving == minutes_to_move(made.order.changes[1]) >= 4
    assert (warm.moving, one.moving, cool.moving) == (0, 0, 0)
    for before, after in itertools.pairwise(made.lines):
        assert after.begin == before.begin + before.minutes + after.moving
    assert made.minutes == 12 + 10 + 10 + 5 + two.moving
    said = [t.text for page in running_sheet(made, {}, 0, 0) for t in page.walk()
            if isinstance(t, Text)]  # fmt: skip
    assert any(f"18:22, {two.moving} min: " in text for text in said)
    assert "minutes for it, by two" in said
    assert str(two.moving) in said


def test_a_lesson_is_too_long_by_its_moves(tmp_path: Path) -> None:
    """37 minutes of lines in 40: they fit, and the moves do not."""
    made = _lesson(tmp_path, fence("birch", 30, 10), fence("birch", 40, 10), "18:00-18:40")
    [found] = [f for f in made.problems if f.rule == "too-long"]
    assert "of them to move fences" in found.message
    same = _lesson(tmp_path, fence("birch", 30, 10), fence("birch", 30, 10), "18:00-18:40")
    assert not [f for f in same.problems if f.rule == "too-long"]


def test_the_check_says_when_fences_are_moved(tmp_path: Path) -> None:
    made = _lesson(tmp_path, fence("birch", 30, 10), fence("birch", 40, 10))
    out = CliRunner().invoke(main, ["lesson", "check", str(tmp_path / "lesson.yaml")]).output
    taken = sum(line.moving for line in made.lines)
    assert "on the ground: " in out
    assert f"{made.minutes} minutes, {taken} of them for moving" in out


POLE = "  pole: {{kind: ground pole, at: [{x} m, {y} m], facing: {facing}}}\n"


@pytest.mark.parametrize(("facing", "end_on"), [("90°", True), ("0°", False)])
def test_what_stands_straight_behind_a_fence_is_a_caution(
    tmp_path: Path, facing: str, end_on: bool
) -> None:
    """The ride turns away before the pole of the other exercise, so that it is in nobody's way."""
    one, two = fence("birch", 30, 20), fence("hazel", 60, 34)
    two += POLE.format(x=44.5 if end_on else 42.0, y=22.0 if end_on else 23.8, facing=facing)
    home = "rollback: left; jump: birch, from behind"
    made = _lesson(tmp_path, one, two, ride="hazel", home=home)
    [found] = [f for f in standing_behind(made) if (f.other, f.exercise) == ("pole", 0)]
    assert (found.fence, found.pole, found.end_on) == ("birch", True, end_on)
    assert found.metres <= lesson_facts().clear_behind_a_fence.value
    told = [f.message for f in made.problems if f.rule == "standing-behind-a-fence"]
    assert told == [f"{found.words()}, for another exercise"]
    # On the running sheet beside its line, and on its own card; not on the other's.
    said = [t.text for page in running_sheet(made, {}, 0, 0) for t in page.walk()
            if isinstance(t, Text)]  # fmt: skip
    assert any(found.words() in text for text in said)
    cards = [warnings_of(plan) for plan in _as_ridden(made)]
    assert [any("behind birch" in text for text in card) for card in cards] == [True, False]


def test_what_stands_aside_or_further_off_is_no_caution(tmp_path: Path) -> None:
    one = fence("birch", 30, 20)
    for x, y in ((44.5, 26.0), (55.0, 22.0)):
        two = fence("hazel", 60, 34) + POLE.format(x=x, y=y, facing="90°")
        made = _lesson(tmp_path, one, two, ride="hazel")
        assert not [f for f in standing_behind(made) if f.other == "pole"]


def test_a_warm_up_over_what_is_not_there_yet_is_said(tmp_path: Path) -> None:
    more = "warm up: [Canter over rowan as a cross, both reins.]\n"
    two = fence("rowan", 40, 10)
    made = _lesson(tmp_path, fence("birch", 30, 10), two, more=more, ride="rowan")
    first = made.lines[0]
    assert not_there_yet(made) == {first.step: ("rowan",)}
    assert [f.rule for f in made.problems if f.rule == "warm-up-over-nothing"]
    said = [t.text for page in running_sheet(made, {}, 0, 0) for t in page.walk()
            if isinstance(t, Text)]  # fmt: skip
    assert "not there yet: rowan" in said
    two = fence("rowan", 60, 30)
    aside = _lesson(tmp_path, fence("birch", 30, 10), two, more=more, ride="rowan")
    assert not not_there_yet(aside)
