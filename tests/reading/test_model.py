"""The definition: what each key becomes, and the schema that describes the file."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

import diagram.model
from diagram.diagnostics import Diagnostic, RejectedError
from diagram.model import Definition, validate
from diagram.model.definition import keys_of
from diagram.model.schema import schema_text
from diagram.source import read_text

WRITTEN = """tapeline: 1
title: No
purpose: 1:50
arena: 60 x 30 m
minutes: 045
fences:
  birch: {kind: vertical, height: 2'6", at: [20 m, 9 m], facing: 012°}
ride:
  - jump: birch
"""


def definition(*changes: tuple[str, str]) -> Definition:
    text = WRITTEN
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return validate(read_text(text), Definition)


def problems(*changes: tuple[str, str]) -> tuple[Diagnostic, ...]:
    with pytest.raises(RejectedError) as caught:
        definition(*changes)
    return caught.value.diagnostics


def test_text_fields_stay_as_written() -> None:
    read = definition(("purpose: 1:50", "purpose: 1e3"))
    assert (read.title, read.purpose, read.minutes) == ("No", "1e3", 45)
    assert definition().purpose == "1:50"
    assert definition().fences["birch"].facing == "012°"


def test_lengths_are_metres() -> None:
    birch = definition().fences["birch"]
    assert birch.height == pytest.approx(0.762)
    assert birch.at == (20.0, 9.0)


def test_one_text_stands_for_a_list_of_one() -> None:
    assert definition(("minutes: 045", "notes: Look up.")).notes == ("Look up.",)


def test_text_over_several_lines_is_joined() -> None:
    assert definition(("purpose: 1:50", "purpose: one\n  two")).purpose == "one two"


@pytest.mark.parametrize("word", ["yes", "Yes", "true"])
def test_yes_is_said_in_words(word: str) -> None:
    read = definition(("arena: 60 x 30 m", f"arena: {{size: 60 x 20 m, letters: {word}}}"))
    assert not isinstance(read.arena, str)
    assert read.arena.letters is True


def test_a_phrase_becomes_values() -> None:
    read = definition(("- jump: birch", "- jump: birch from behind, angled left 20°, land right"))
    said = read.ride[0].jump  # type: ignore[union-attr]
    assert (said.fence, said.from_behind, said.land) == ("birch", True, "right")
    assert said.angle == pytest.approx(math.radians(20))


@pytest.mark.parametrize(
    ("change", "rule", "meant"),
    [
        (("minutes: 045", "minutes: half an hour"), "not-understood", "half an hour"),
        (("height: 2'6\"", "height: 9 hands"), "not-understood", "9 hands"),
        (("height: 2'6\"", "heigth: 2'6\""), "unknown-key", "heigth"),
        (("- jump: birch", "- jump: 'birch, land up'"), "not-understood", "land up"),
        (("- jump: birch", "- jmup: birch"), "unknown-key", "jmup"),
        (("title: No", "title: ''"), "not-understood", "'"),
        (("birch: {", "'3': {"), "not-understood", "'3'"),
    ],
)
def test_the_words_meant_are_marked(change: tuple[str, str], rule: str, meant: str) -> None:
    (found,) = problems(change)
    assert found.rule == rule
    assert found.span is not None
    line = WRITTEN.replace(*change).splitlines()[found.span.line - 1]
    assert line[found.span.column - 1 : found.span.end_column - 1].startswith(meant)
    assert found.hint


def test_every_error_is_told_at_once() -> None:
    found = problems(("title: No\n", ""), ("kind: vertical", "kind: [a]"), ("jump", "jmup"))
    assert [d.rule for d in found] == ["missing-key", "not-understood", "unknown-key"]


def test_lists_have_a_limit() -> None:
    steps = "".join("  - jump: birch\n" for _ in range(121))
    (found,) = problems(("  - jump: birch\n", steps))
    assert found.message == "more than 120 here"


def test_the_committed_schema_is_that_of_the_model() -> None:
    file = Path(diagram.model.__file__).with_name("exercise.schema.json")
    assert file.read_text(encoding="utf-8") == schema_text()


def test_the_schema_knows_every_key() -> None:
    known = json.loads(schema_text())["properties"]
    assert set(known) == set(keys_of(Definition))
