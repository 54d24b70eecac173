"""What trainers type where the format has another word or key, and what they are told to write.

The words are those of riders (common practice, from memory).
"""

from __future__ import annotations

import re

import pytest
from unsearched import unsearched

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.model.kinds_otherwise import KINDS_OTHERWISE
from diagram.pipeline import plan_text
from diagram.placing import working_out

FILE = """\
tapeline: 1
title: T
purpose: P
level: {level}
arena: 30 x 60 m
fences:
  birch: {birch}
  red: {red}
ride:
  - start: {start}
  - jump: birch
    purpose: P
  - {way}
  - {jump}
    purpose: P
  - {finish}
"""
GOOD = {
    "level": "2'6\"", "birch": "vertical", "red": "vertical", "start": "canter, left lead",
    "way": "line: 5 strides", "jump": "jump: red", "finish": "finish: straight on, walk",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the words that are tried: where the fences stand best is no matter here."""
    monkeypatch.setattr(working_out, "found", unsearched)


def file(**changes: str) -> str:
    return FILE.format(**{**GOOD, **changes})


def errors(text: str) -> tuple[Diagnostic, ...]:
    try:
        plan_text(text)
    except RejectedError as rejected:
        return rejected.diagnostics
    return ()


def hint(text: str) -> str:
    (found,) = errors(text)
    return found.hint


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("triple", "{kind: treble, elements: "), ("triple", "{kind: triple bar}"),
        ("in and out", "{kind: double, elements: "), ("in-and-out", "{kind: double, elements: "),
        ("skinny", "{kind: vertical, poles: 6'}"), ("X", "{kind: cross-rail}"),
        ("coop", "{kind: roll-top}"), ("upright", "{kind: vertical}"),
        ("vertical with flower boxes", "filler"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("shape", ["{{kind: {}}}", "{}"])
def test_a_kind_by_another_name_is_told_as_it_is_here(said: str, wanted: str, shape: str) -> None:
    told = hint(file(birch=shape.format(said)))
    assert wanted in told
    for better in re.findall(r"`([^`]+)`", told):
        assert not errors(file(birch=better)), better


@pytest.mark.parametrize("told", sorted(set(KINDS_OTHERWISE.values())))
def test_each_hint_for_a_kind_can_be_written(told: str) -> None:
    said = re.findall(r"`([^`]+)`", told)
    assert said
    for better in said:
        assert not errors(file(birch=better)), better


@pytest.mark.parametrize(
    ("shape", "better"),
    [
        ("{kind: vertical 2'6}", "`{kind: vertical, height: 2'6\"}`"),
        ("{kind: vertical 2'6\" on the centre line}",
         "`{kind: vertical, height: 2'6\", on: centre line}`"),
    ],
)  # fmt: skip
def test_what_is_said_with_the_kind_has_keys_of_its_own(shape: str, better: str) -> None:
    assert better in hint(file(birch=shape))
    assert not errors(file(birch=better.strip("`")))


def test_inches_without_their_mark_are_inches() -> None:
    plan = plan_text(file(birch="vertical 2'6", red="oxer 2'6 x 2'3"))
    heights = [placed.fence.measures.height_m for placed in plan.fences]
    assert heights == pytest.approx([0.762, 0.762])


@pytest.mark.parametrize(
    ("key", "level", "said", "wanted"),
    [
        ("height", "2'6\"", "18", "write 18 in or 18 cm"),
        ("height", "0.80 m", "45", "write 45 cm"),
        ("height", "2'6\"", "3", "write 3'"), ("height", "2'6\"", "90", "write 90 cm"),
        ("height", "0.80 m", "1.1", "write 1.1 m"), ("level", "18", "", "write 18 in or 18 cm"),
    ],
)  # fmt: skip
def test_a_number_with_no_unit_is_offered_the_units_that_make_sense(
    key: str, level: str, said: str, wanted: str
) -> None:
    texts = [file(level=level)]
    if key == "height":
        block = f"{{kind: vertical, height: {said}}}"
        texts = [file(level=level, birch=block), file(level=level, birch=f"vertical {said}")]
    for text in texts:
        told = hint(text)
        assert told.startswith(wanted)
        # 18 feet or 18 metres high is no fence.
        assert f"{said}' " not in f"{told} " or float(said) < 6
        assert f"{said} m " not in f"{told} " or float(said) < 2


def test_a_comma_that_is_missing_in_a_fence_is_told() -> None:
    grid = '{{kind: double, elements: [vertical, "{}"]}}'
    told = hint(file(birch=grid.format("vertical after 1 stride")))
    assert "`vertical, after 1 stride`, with a comma" in told
    assert not errors(file(birch=grid.format("vertical, after 1 stride")))
    for said in ("vertical after 1 stride", "{kind: vertical after 1 stride}"):
        assert "`vertical, 1 stride beyond birch`" in hint(file(red=said))
    told = hint(file(red="vertical, after 5 strides"))
    assert "`5 strides beyond birch`" in told
    assert not errors(file(red="vertical, 5 strides beyond birch"))


def test_a_place_from_a_fence_says_on_which_side() -> None:
    assert hint(file(red="{kind: vertical, placed: 5 strides from birch}")) == (
        "write: 5 strides beyond birch"
    )
    assert not errors(file(red="{kind: vertical, placed: 5 strides beyond birch}"))


@pytest.mark.parametrize("finish", ["closing circle right", "final circle right, walk"])
def test_a_closing_circle_is_a_circle_to_finish_on(finish: str) -> None:
    (circle,) = plan_text(file(finish=f"finish: {finish}")).course.links[-1].circles
    assert not circle.left
    assert "`- finish: circle right, walk`" in hint(file(finish=finish))


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        ({"finish": "finish: gallop to the timers"}, "`- finish: straight on, canter`"),
        ({"finish": "gallop to the timers"}, "`- finish: straight on, canter`"),
        ({"way": "line: gallop to the timers"}, "`- finish: straight on, canter`"),
        ({"way": "line: gallop on"}, "`- line: 5 forward strides`"),
        ({"start": "gallop, left lead"}, "`- start: canter`"),
        ({"jump": "jump: red off the left rein"}, "`- turn: left`"),
        ({"jump": "jump: red, off the left rein"}, "`- turn: left`"),
        ({"jump": "jump: red on the right lead"}, "`land on the right lead`"),
    ],
)
def test_what_is_said_of_the_ride_in_other_words(change: dict[str, str], wanted: str) -> None:
    told = hint(file(**change))
    assert wanted in told
    (step,) = re.findall(r"`- ((?:finish|line|start|turn): [^`]+)`", wanted) or [""]
    if step:
        key = {"finish": "finish", "line": "way", "turn": "way"}.get(step.split(":")[0], "start")
        value = step.removeprefix("start: ")
        assert not errors(file(**{key: value}))


@pytest.mark.parametrize("purpose", [True, False])
def test_a_step_without_its_colon_is_told_where_it_stands(purpose: bool) -> None:
    text = file(jump="jump red")
    if not purpose:
        text = text.replace("  - jump red\n    purpose: P\n", "  - jump red\n")
    (found,) = errors(text)
    assert found.span
    assert (found.span.line, found.span.column) == (14, 5)
    assert found.hint.startswith("write `- jump: red`")


TEN = """\
tapeline: 1
title: Ten
level: 18
purpose: Ride forward: then wait
arena: moon base
horses: unicorn

fences:
  blue: {kind: skinny}
  red: {kind: vertical, height: 3}
  coop: vertikal 2'6"
  gate: {kind: oxer, placed: 5 strides from blue}

ride:
  - start: gallop, left lead
  - jump blue
    purpose: P
  - line: lots
  - jump: rde
  - turn: up
  - jump: coop off the left rein
  - finish: gallop to the timers
"""


def test_everything_that_is_wrong_is_told_at_once() -> None:
    found = errors(TEN)
    assert [d.span.line for d in found if d.span] == [
        3, 4, 5, 6, 9, 10, 11, 12, 15, 16, 18, 19, 20, 21, 22,
    ]  # fmt: skip
    assert all(d.hint for d in found)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("title: Ten", "title Ten", 2),
        ("{kind: skinny}", "{kind: skinny", 9), ("  - turn: up", "\t- turn: up", 20),
    ],
)  # fmt: skip
def test_so_is_what_is_no_sound_yaml(old: str, new: str, line: int) -> None:
    found = errors(TEN.replace(old, new))
    lines = [d.span.line for d in found if d.span]
    assert line in lines
    assert len(set(lines)) >= 14


def test_what_cannot_be_mended_is_told_alone() -> None:
    (found,) = errors("tapeline: 1\ntitle: T\n- arena: x\n")
    assert found.rule == "not-yaml"
