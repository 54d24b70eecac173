"""Fences, places and rings said in words, and what is answered where they are not understood."""

from __future__ import annotations

import pytest

from diagram.diagnostics import RejectedError
from diagram.model.definition import Definition
from diagram.model.fence_words import fence_in_words, spelled
from diagram.model.phrases import PhraseError
from diagram.model.reading import validate
from diagram.pipeline import plan_text
from diagram.source import read_text


def said(fences: str, ride: str = "", arena: str = "30 x 60 m", more: str = "") -> str:
    ride = ride or "  - jump: oak\n"
    return (
        f"tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'6\"\n{more}arena: {arena}\nfences:\n{fences}"
        f"ride:\n  - start: canter\n{ride}  - finish: walk\n"
    )


@pytest.mark.parametrize(
    ("words", "block"),
    [
        ("vertical", {"kind": "vertical"}),
        ("a Vertical 3'", {"kind": "vertical", "height": "3'"}),
        ("oxer 3' x 3'6\"", {"kind": "oxer", "height": "3'", "spread": "3'6\""}),
        ("90 cm by 1.10 m oxer", {"kind": "oxer", "height": "90 cm", "spread": "1.10 m"}),
        ("triple bar of 1 m", {"kind": "triple bar", "height": "1 m"}),
        ("plank, on the centre line", {"kind": "plank", "on": "centre line"}),
        ("wall, facing gate, at centre", {"kind": "wall", "facing": "gate", "at": "centre"}),
        ("vertical, ground line on both sides", {"kind": "vertical", "ground line": "both sides"}),
        ("oxer, 5 strides beyond oak", {"kind": "oxer", "placed": "5 strides beyond oak"}),
        ("oxer, 5 m in from the left", {"kind": "oxer", "on": "5 m in from the left"}),
        ("cross-rail, 9' after poles", {"kind": "cross-rail", "placed": "9' after poles"}),
        ("oxer, after 1 stride", {"kind": "oxer", "after": "1 stride"}),
        ("cavaletti, raised left, 10' poles",
         {"kind": "cavaletti", "raised": "left", "poles": "10'"}),
    ],
)  # fmt: skip
def test_a_fence_is_said_on_its_line(words: str, block: dict[str, str]) -> None:
    assert fence_in_words(words, element="after" in block) == block


def test_a_row_of_poles_is_said_with_its_count_and_distance() -> None:
    found = fence_in_words("four trot poles, 4'6\" apart, on the centre line")
    assert found["kind"] == "combination"
    assert [e.get("after") for e in found["elements"]] == [None, "4'6\"", "4'6\"", "4'6\""]
    assert {e["kind"] for e in found["elements"]} == {"ground pole"}
    assert found["on"] == "centre line"
    assert fence_in_words("three cavaletti 9' apart")["elements"][2]["after"] == "9'"


@pytest.mark.parametrize(
    ("words", "part", "hint"),
    [
        ("four trot poles", "four trot poles", "4'6\" apart"),
        ("oxer 3' x 12", "12", "write 18 in"),
        ("oxer, fcing gate", "fcing gate", "facing"),
        ("oxer, at C, at A", "at A", "say one"),
        ("3' 4'", "3' 4'", "you may say"),
    ],
)
def test_what_is_not_understood_is_pointed_at(words: str, part: str, hint: str) -> None:
    with pytest.raises(PhraseError) as problem:
        fence_in_words(words)
    start, length = problem.value.start, problem.value.length
    assert words[start : start + length] == part
    assert hint in problem.value.hint


def test_words_and_blocks_are_one_exercise() -> None:
    words = said(
        "  oak: vertical\n  ash: oxer 2'6\" x 2'6\", 5 strides after oak\n",
        "  - jump: oak\n  - line: 5 strides\n  - jump: ash\n",
    )
    blocks = said(
        "  oak: {kind: vertical}\n"
        "  ash: {kind: oxer, height: 2'6\", spread: 2'6\", placed: 5 strides beyond oak}\n",
        "  - jump: oak\n  - line: 5 strides\n  - jump: ash\n",
    )
    assert plan_text(words).layout.poses == plan_text(blocks).layout.poses


def test_where_a_fence_stands_may_be_said_under_at() -> None:
    fences = {
        "ash": {"kind": "oxer", "at": "5 strides after oak"},
        "elm": {"kind": "oxer", "at": "5 m in from bottom"},
        "fir": {"kind": "oxer", "at": "centre"},
    }
    assert spelled(fences) == {
        "ash": {"kind": "oxer", "placed": "5 strides after oak"},
        "elm": {"kind": "oxer", "on": "5 m in from bottom"},
        "fir": {"kind": "oxer", "at": "centre"},
    }


def _errors(text: str) -> list[str]:
    with pytest.raises(RejectedError) as problem:
        plan_text(text)
    return [f"{d.message} | {d.hint}" for d in problem.value.diagnostics]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (said("  oak: plnk 3'\n"), "did you mean \"plank\"?"),
        (said("  oak: {kind: vertical, on: outside line}\n"), "arrange: birch on an outside line"),
        (said("  oak: {kind: vertical, at: X}\n"), "letters: yes"),
        (said("  oak: vertical\n", more="heights: poles\nlevel: poles\n").replace(
            "level: 2'6\"\n", ""), "leave level: out"),
        (said("  oak: vertical\n", arena="30 x 60 m with the gate at A"), "known here: bottom"),
        (said("  oak: vertical\n", "  - trot over: oak\n"), "write `- jump: birch`"),
        (said("  oak: vertical\n", "  - jump: oak\n  - change the rein\n"), "write `- turn: left`"),
        (said("  oak: vertical\n", "  - jump: oak\nrides:\n  - big horses\n"), "`- name:"),
        (said("  oak: vertical\n").replace("start: canter", "start: canter left leed"),
         'did you mean "canter left lead"?'),
        (said("  oak: vertical\n  ash: vertical\n",
              "  - jump: oak\n  - line: 5 strides: quiet\n  - jump: ash\n"), "write a comma"),
    ],
)  # fmt: skip
def test_the_hint_says_what_to_write(text: str, wanted: str) -> None:
    assert any(wanted in error for error in _errors(text)), _errors(text)


def test_a_fence_in_words_that_is_refused_is_not_missed_elsewhere() -> None:
    errors = _errors(said("  oak: oxer 3' x 12\n"))
    assert len(errors) == 1, errors


@pytest.mark.parametrize(
    ("words", "side"),
    [
        ("30 x 60 m, gate in the short side", "left"),
        ("30 x 60 m with a gate in the middle of the long side", "bottom"),
        ("100 x 200 ft, gate in top", "top"),
    ],
)
def test_a_gate_is_said_in_the_line_of_the_ring(words: str, side: str) -> None:
    plan = plan_text(said("  oak: vertical\n", arena=words))
    assert plan.arena.gate is not None
    assert plan.arena.gate.side == side


def test_a_fit_spells_out_only_what_it_changes() -> None:
    from diagram.fitting import Wanted, fit

    text = said("  oak: vertical   # stays\n  ash: oxer 2'6\" x 2'6\"\n",
                "  - jump: oak\n  - turn: left\n  - jump: ash\n")  # fmt: skip
    made = fit(plan_text(text), Wanted(height="2'9\""))
    assert "oak: vertical   # stays" in made.text
    assert "ash: {kind: oxer, height: 2'9\", spread: 2'6\"}" in made.text
    validate(read_text(made.text, "fitted"), Definition)
