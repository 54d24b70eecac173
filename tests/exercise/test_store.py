"""What the yard owns, as written, and what an exercise lacks of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram.diagnostics import RejectedError
from diagram.exercise.equipment import equipment_of, in_all
from diagram.exercise.inventory import missing_from, read_store, store_beside
from diagram.pipeline import plan, plan_text, setting_of
from diagram.source import read_text
from diagram.stakeout.crew import crew_for

STORE = """\
poles: {12': 24, 10': 6}
standards: 16
planks: {12': 4}
gates: 2
walls: 1
cups: 40
safety cups: 8
ground lines: 6
fillers: {Flower boxes: 4}
"""
TEXT = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
fences:
  birch: {kind: vertical, at: [20 m, 10 m], facing: 0°, ground line: both sides}
  hazel: {kind: oxer, placed: 5 strides beyond birch}
  elm: {kind: plank, filler: flower boxes, at: [30 m, 30 m], facing: 180°, poles: 10'}
  pole: {kind: ground pole, at: [20 m, 30 m], facing: 180°}
ride:
  - jump: birch
  - line: 5 strides
  - jump: hazel
  - turn: left
  - jump: elm
  - line: 10 m
  - jump: pole
"""


def _store(text: str):
    return read_store(read_text(text, "store.yaml"))


def test_a_store_as_written() -> None:
    store = _store(STORE)
    assert store.poles == {3658: 24, 3048: 6}
    assert store.planks == {3658: 4}
    assert store.counts == {
        "standards": 16, "gates": 2, "walls": 1, "cups": 40, "safety cups": 8, "ground lines": 6,
    }  # fmt: skip
    assert store.fillers == {"flower boxes": 4}


def test_every_key_may_be_left_out() -> None:
    store = _store("standards: 4\n")
    assert (store.poles, store.planks, store.fillers) == (None, None, None)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("pols: {12': 4}", 'did you mean "poles"'),
        ("standards: many", "is not a count"),
        ("standards: -4", "is not a count"),
        ("standards: 99999", "is not a count"),
        ("poles: {twelve: 4}", "store.yaml:1:9"),
        ("poles: 24", "keys and values"),
        ("- 4", "keys and values"),
    ],
)
def test_a_wrong_store_is_refused_with_its_place(text: str, words: str) -> None:
    with pytest.raises(RejectedError) as raised:
        _store(text + "\n")
    assert words in str(raised.value)
    assert "store.yaml:1:" in str(raised.value)


def test_it_stands_beside_the_exercise_or_in_the_folder_above(tmp_path: Path) -> None:
    inside = tmp_path / "exercises"
    inside.mkdir()
    file = inside / "one.yaml"
    file.write_text(TEXT, encoding="utf-8")
    assert store_beside(plan(file).document) is None
    (tmp_path / "store.yaml").write_text("standards: 4\n", encoding="utf-8")
    above = plan(file).store
    assert above is not None
    assert above.counts == {"standards": 4}
    (inside / "store.yaml").write_text("standards: 6\n", encoding="utf-8")
    beside = plan(file).store
    assert beside is not None
    assert beside.counts == {"standards": 6}


def test_what_four_fences_want() -> None:
    """By the usual parts of each kind: a vertical two poles and here two ground lines, an oxer
    three and one, planks one pole, a plank and a ground line, a pole one."""
    total = in_all(equipment_of(placed.fence) for placed in plan_text(TEXT).fences)
    assert {(what, mm): n for what, mm, n in total.listed() if n} == {
        ("poles", 3658): 2 + 2 + 3 + 1 + 1,
        ("poles", 3048): 1 + 1,
        ("planks", 3048): 1,
        ("standards", 0): 2 + 4 + 2,
        ("cups", 0): 4 + 4 + 4,
        ("safety cups", 0): 2,
        ("flower boxes", 0): 1,
    }
    assert total.ground_lines == {3658: 2 + 1, 3048: 1}


def _short(store: str) -> list[tuple[str, int, int]]:
    fences = [placed.fence for placed in plan_text(TEXT).fences]
    return [(s.called(), s.wanted, s.there) for s in missing_from(_store(store), fences)]


@pytest.mark.parametrize(
    ("enough", "short", "what", "wanted"),
    [
        ("poles: {12': 9, 10': 2}", "poles: {12': 8, 10': 2}", "poles of 12' (3.66 m)", 9),
        ("poles: {3.6 m: 9, 3 m: 2}", "poles: {4 m: 9, 3 m: 2}", "poles of 12' (3.66 m)", 9),
        ("standards: 8", "standards: 7", "standards", 8),
        ("safety cups: 2", "safety cups: 1", "safety cups", 2),
        ("planks: {10': 1}", "planks: {12': 1}", "planks of 10' (3.05 m)", 1),
        ("fillers: {flower boxes: 1}", "fillers: {flower boxes: 0}", "flower boxes", 1),
    ],
)
def test_enough_and_one_too_few(enough: str, short: str, what: str, wanted: int) -> None:
    assert _short(enough) == []
    [found] = _short(short)
    assert found[:2] == (what, wanted)
    assert found[2] < wanted


def test_ground_lines_are_laid_first_and_poles_after() -> None:
    assert _short("poles: {12': 6, 10': 1}\nground lines: 4") == []
    assert _short("poles: {12': 6, 10': 1}\nground lines: 3") == [("poles of 10' (3.05 m)", 2, 1)]


def test_of_what_is_not_listed_nothing_is_said() -> None:
    assert _short("gates: 0\nwalls: 0") == []


def test_a_list_of_fillers_is_whole() -> None:
    """As one of poles is: what it does not name, the yard does not own."""
    assert _short("fillers: {barrels: 2}") == [("flower boxes", 1, 0)]


def test_the_check_and_the_crew_say_the_same(tmp_path: Path) -> None:
    """One store, one count, one tolerance: safety cups of an oxer jumped both ways too."""
    oxer = "hazel: {kind: oxer, ground line: both sides, placed"
    text = TEXT.replace("hazel: {kind: oxer, placed", oxer)
    (tmp_path / "store.yaml").write_text(
        "poles: {12': 4, 3 m: 20}\nground lines: 2\nsafety cups: 5\nfillers: {}\n", "utf-8"
    )
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    made = plan(file)
    said = {
        finding.message for finding in made.findings if finding.rule == "missing-from-the-store"
    }
    setting = setting_of(made, crew_for("feet"))
    # Poles of 3 m are 10' ones; so one fence after another is built of those that are left.
    assert {lack.words() for lack in setting.shortages} <= said
    assert "safety cups: 6 wanted, 5 in the store" in said
    assert "flower boxes: 1 wanted, 0 in the store" in said
    assert {swap.used_mm for swap in setting.stand_ins} == {3000}
