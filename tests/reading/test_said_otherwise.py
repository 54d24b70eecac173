"""What a hint tells people to write can be written, and keys said otherwise are answered so."""

from __future__ import annotations

import re

import pytest
from pydantic import BaseModel
from unsearched import unsearched

from diagram.diagnostics import RejectedError
from diagram.model.definition import Definition, FenceWritten, JumpStep, LineStep, keys_of
from diagram.model.otherwise import KEYS_OTHERWISE, STEPS_OTHERWISE
from diagram.pipeline import plan_text
from diagram.placing import working_out
from diagram.source import read_text

FILE = """\
tapeline: 1
title: T
purpose: P.
{whole}fences:
{fences}ride:
{ride}"""
WHOLE = {"level": "2'6\"", "arena": "60 x 40 m"}
FENCES = {"birch": "vertical", "hazel": "vertical", "elm": "vertical"}
HINTS = sorted({
    *STEPS_OTHERWISE.values(), *(hint for keys in KEYS_OTHERWISE.values() for hint in keys.values())
})  # fmt: skip


@pytest.fixture(autouse=True)
def _no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is the words that are tried: where the fences stand best is no matter here."""
    monkeypatch.setattr(working_out, "found", unsearched)


def written(whole: dict[str, str], fences: dict[str, str], ride: list[str]) -> str:
    return FILE.format(
        whole="".join(f"{key}: {value}\n" for key, value in whole.items()),
        fences="".join(f"  {key}: {value}\n" for key, value in fences.items()),
        ride="".join(f"  {step}\n" for step in ride),
    )


def with_step(step: str) -> list[str]:
    if step.startswith("- start"):
        return [step, "- jump: birch"]
    if step.startswith("- jump"):
        return ["- start: canter", step]
    if step.startswith("- finish"):
        return ["- start: canter", "- jump: birch", step]
    return ["- start: canter", "- jump: birch", step, "- jump: hazel", "- finish: straight on"]


def understood(text: str) -> None:
    """Whatever the layout makes of it, nothing may be told to be no key or not understood."""
    try:
        plan_text(text)
    except RejectedError as problem:
        rules = {d.rule for d in problem.diagnostics}
        assert not rules & {
            "unknown-key",
            "not-understood",
            "wrong-shape",
            "not-yaml",
            "arena",
            "fence",
        }


@pytest.mark.parametrize("hint", HINTS)
def test_what_a_hint_says_can_be_written(hint: str) -> None:
    for said in re.findall(r"`([^`]+)`", hint):
        if said.startswith("- "):
            understood(written(WHOLE, FENCES, with_step(said)))
        else:
            key, _, value = said.partition(": ")
            whole, fences = dict(WHOLE), dict(FENCES)
            (whole if key in keys_of(Definition) else fences)[key] = value
            understood(written(whole, fences, with_step("- line: 5 strides")))
    if "`" in hint:
        return
    for key, value in re.findall(r"(?:write|or) (\w+): (\[[^\]]*\]|[^\s,;][^,;:]*)(?=,|;|$)", hint):
        if key in FenceWritten.model_fields:
            block = {"kind": "vertical"} | {key: value}
            said = ", ".join(f"{k}: {v}" for k, v in block.items())
            understood(written(WHOLE, {**FENCES, "elm": f"{{{said}}}"}, with_step("- turn: left")))
        else:
            understood(written({**WHOLE, key: value}, FENCES, with_step("- line: 5 strides")))


@pytest.mark.parametrize("block", KEYS_OTHERWISE)
def test_no_key_that_there_is_is_said_otherwise(block: type[BaseModel]) -> None:
    there = set(keys_of(block))
    assert there & set(KEYS_OTHERWISE[block]) == set()


@pytest.mark.parametrize(
    ("block", "line", "says"),
    [
        (JumpStep, "    land: left", "land on the right lead"),
        (JumpStep, "    Angle: 20°", "angled left 10°"),
        (LineStep, "    walk: 3 steps", "walk 5 steps in the middle"),
        (FenceWritten, "colour: red", "no colours are drawn"),
        (FenceWritten, "count: 3", "four trot poles"),
        (Definition, "horse: green", "write horses: large pony"),
    ],
)
def test_it_is_answered_in_the_block_where_it_stands(
    block: type[BaseModel], line: str, says: str
) -> None:
    whole, fences, ride = dict(WHOLE), dict(FENCES), with_step("- line: 5 strides")
    if block is Definition:
        key, _, value = line.partition(": ")
        whole[key] = value
    elif block is FenceWritten:
        fences["elm"] = f"{{kind: vertical, {line}}}"
    else:
        place = 1 if block is JumpStep else 2
        ride[place] += f"\n{line}"
    text = written(whole, fences, ride)
    read_text(text)
    with pytest.raises(RejectedError) as caught:
        plan_text(text)
    (told,) = caught.value.diagnostics
    assert (told.rule, says in told.hint) == ("unknown-key", True)
