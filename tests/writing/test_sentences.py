"""Exercises from a sentence and from a shape: what is understood, and that it can be ridden."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from diagram.cli import main
from diagram.pipeline import plan_text
from diagram.writing.sentence import Head, SentenceError, exercise_text, read_sentence
from diagram.writing.shapes import SHAPES, sentences_of

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
    ("shape", "stand"),
    [
        ("line of three", ""), ("figure of eight", ""),
        ("outside line of three", "alder, birch, cedar on an outside line"),
        ("diagonal of two", "alder, birch on the diagonal"),
        ("serpentine of three", "alder, birch, cedar in a serpentine"),
        ("S of three", "alder, birch, cedar in an S"),
        ("a circle of four", "alder, birch, cedar, dogwood on a circle"),
        ("fan of three", "alder, cedar, birch in a fan"),
        ("fan of four", "alder, dogwood, birch, cedar in a fan"),
        ("box of four", "alder, dogwood, birch, cedar in a box"),
    ],
)  # fmt: skip
def test_a_shape_can_be_ridden_and_says_how_its_fences_stand(shape: str, stand: str) -> None:
    texts = [exercise_text(HEAD, read_sentence(way)) for way in sentences_of(shape)]
    stops = []
    for text in texts:
        made = plan_text(text)
        stops.append([f.message for f in made.findings if str(f.severity) == "stop"])
        if not stops[-1]:
            break
    assert stops[-1] == []
    assert (f"arrange: {stand}\n" in text) == bool(stand)


def test_a_shape_that_a_ring_is_too_small_for_comes_smaller(tmp_path: Path) -> None:
    file = tmp_path / "ring.yaml"
    call = ["new", str(file), "--shape", "circle of four", "--arena", "20 x 40 m"]
    done = CliRunner().invoke(main, call)
    assert done.exit_code == 0
    assert "do not fit into 20 x 40 m" in done.output or "No way of it fits" in done.output
    small = CliRunner().invoke(main, [*call[:1], str(tmp_path / "big.yaml"), *call[2:4]])
    assert "fit into" not in small.output


def test_a_sentence_may_say_how_it_begins_and_ends_and_how_fences_stand() -> None:
    said = read_sentence(
        "trot left, vertical landing left, turn left, oxer from behind, halt, first, second on the "
        "diagonal"
    )
    assert said.ride[0] == {"start": "trot, left lead"}
    assert {"jump": "alder, land on the left lead"} in said.ride
    assert {"jump": "birch from behind"} in said.ride
    assert said.ride[-1] == {"finish": "halt on the line"}
    assert said.arrange == "alder, birch on the diagonal"
    with pytest.raises(SentenceError, match="there are 1 fences"):
        read_sentence("plank, first, third in a box")


def test_like_another_brings_its_arena_along(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    (tmp_path / "a" / "arenas.yaml").write_text("meadow: {size: 40 x 80 m}\n", encoding="utf-8")
    one = exercise_text(HEAD, read_sentence("plank, 3 strides, oxer")).replace(
        "40 x 80 m", "meadow"
    )
    (tmp_path / "a" / "one.yaml").write_text(one, encoding="utf-8")
    for folder, arena in (("a", "meadow"), ("b", "{size: 40 x 80 m}")):
        file = tmp_path / folder / "two.yaml"
        call = ["new", str(file), "--like", str(tmp_path / "a" / "one.yaml"), "--title", "Two"]
        assert CliRunner().invoke(main, call).exit_code == 0
        text = file.read_text(encoding="utf-8")
        assert f"arena: {arena}\n" in text
        assert "title: Two\n" in text
        assert "#   plank: alder, a plank\n" in text


def test_a_shape_that_is_none() -> None:
    for text in ("star of five", "serpentine", "line of ninety", "circle of seven", ""):
        with pytest.raises(SentenceError):
            sentences_of(text)
    names = "line, outside line, diagonal, serpentine, S, circle, box, fan, figure of eight"
    assert list(SHAPES) == names.split(", ")


@given(st.text(max_size=60))
def test_anything_said_is_understood_or_named(text: str) -> None:
    try:
        said = read_sentence(text)
    except SentenceError:
        return
    assert said.fences
