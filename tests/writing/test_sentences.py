"""Exercises from a sentence and from a shape: what is understood, and that it can be ridden."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagram.pipeline import plan_text
from diagram.writing.sentence import Head, SentenceError, exercise_text, read_sentence
from diagram.writing.shapes import SHAPES, sentence_of

HEAD = Head("A trial", "To be said.", "2'", "40 x 80 m", "horse")


def test_a_sentence_becomes_fences_and_a_ride() -> None:
    said = read_sentence("plank, 3 strides, cross-rail, bend right 6, vertical")
    assert [block["kind"] for block in said.fences.values()] == ["plank", "cross-rail", "vertical"]
    assert said.ride == [
        {"start": "canter"}, {"jump": "alder"}, {"line": "3 strides"}, {"jump": "birch"},
        {"bend": "right, 6 strides"}, {"jump": "cedar"}, {"finish": "straight on, walk"},
    ]  # fmt: skip
    assert said.explained[0] == "plank: alder, a plank"


def test_other_ways_to_say_it() -> None:
    said = read_sentence(
        "an oxer 2'6\", five forward strides, a 2' vertical, turn left, back over the second, "
        "roll back right, the first again"
    )
    assert said.fences["alder"] == {"kind": "oxer", "height": "2'6\""}
    assert said.fences["birch"] == {"kind": "vertical", "height": "2'", "ground line": "both sides"}
    assert {"line": "5 forward strides"} in said.ride
    assert {"jump": "birch from behind"} in said.ride
    assert {"rollback": "right"} in said.ride


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "say a fence"),
        ("3 strides, plank", "begin with a fence"),
        ("plank, plank", "how to get there from alder"),
        ("plank, 3 strides", "end with a fence"),
        ("plank, 3 strides, 4 strides, plank", "name a fence"),
        ("plnk", 'did you mean "plank"'),
        ("plank, turn left, the third again", "there are 1 fences so far"),
        ("oxer 9", "write 9'"),
    ],
)
def test_what_is_not_understood_is_named(text: str, told: str) -> None:
    with pytest.raises(SentenceError) as caught:
        read_sentence(text)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "text",
    ["plank, 3 strides, cross-rail, bend right 6, vertical",
     "vertical, 5 strides, oxer, turn left, the first again"],
)  # fmt: skip
def test_what_is_said_can_be_ridden(text: str) -> None:
    made = plan_text(exercise_text(HEAD, read_sentence(text)))
    assert [f.rule for f in made.findings if str(f.severity) == "stop"] == []


@pytest.mark.parametrize(
    "shape", ["line of three", "serpentine of three", "a circle of four", "box of four",
              "figure of eight"],
)  # fmt: skip
def test_a_shape_can_be_ridden(shape: str) -> None:
    made = plan_text(exercise_text(HEAD, read_sentence(sentence_of(shape))))
    assert [f.message for f in made.findings if str(f.severity) == "stop"] == []


def test_a_shape_that_is_none() -> None:
    for text in ("star of five", "serpentine", "line of ninety", "circle of seven", ""):
        with pytest.raises(SentenceError):
            sentence_of(text)
    assert set(SHAPES) == {"line", "serpentine", "circle", "box", "figure of eight"}


@given(st.text(max_size=60))
def test_anything_said_is_understood_or_named(text: str) -> None:
    try:
        said = read_sentence(text)
    except SentenceError:
        return
    assert said.fences
