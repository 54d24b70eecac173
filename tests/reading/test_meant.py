"""A phrase in other words is answered with the words of the format, and these can be written.

The words are those of riders (common practice, from memory).
"""

from __future__ import annotations

import re

import pytest

from diagram.diagnostics import Diagnostic, RejectedError
from diagram.exercise.read_exercise import definition_of, document_of, read_exercises
from diagram.model.meant import ARRANGED, CLAUSES, FENCES, LENGTHS, LINES, MOVES, PLACES

FILE = """\
tapeline: 1
title: T
purpose: P.
level: {level}
arena: 30 x 60 m
{more}fences:
  birch: vertical
  elm: {elm}
ride:
  - start: {start}
  - jump: birch
  - {step}
  - jump: {jump}
  - finish: {finish}
"""
GOOD = {"level": "2'6\"", "more": "", "elm": "vertical", "start": "canter, left lead",
        "step": "line: 5 strides", "jump": "elm", "finish": "straight on, walk"}  # fmt: skip
ARRANGE, MOVE = "arrange", "move"
"""Keys of `more`, written behind these words."""


def errors(key: str, said: str) -> tuple[Diagnostic, ...]:
    """Every error of the file with `said` under a key."""
    if key in ("on", "placed", "height"):
        key, said = "elm", f"{{kind: vertical, {key}: {said}}}"
    elif key in (ARRANGE, MOVE):
        key, said = "more", f"{key}: {said}\n"
    elif key in ("line", "bend", "turn", "rollback"):
        key, said = "step", f"{key}: {said}"
    try:
        document = document_of(FILE.format(**{**GOOD, key: said}), "x.yaml")
        return tuple(read_exercises(document, definition_of(document))[1])
    except RejectedError as problem:
        return problem.diagnostics


SAID = [
    ("line", "five", "`5 strides`"), ("line", "5", "`5 strides`"), ("line", "5st", "`5 strides`"),
    ("line", "60", "`60'` or `60 m`"), ("line", "4-5", "`4 or 5 strides`"),
    ("line", "4 to 5 strides", "`4 or 5 strides`"), ("line", "twenty metres", "`20 metres`"),
    ("line", "60 foot", "`60 ft`"), ("line", "five strides (72ft)", "`5 strides at 72ft`"),
    ("line", "72ft = 5 strides", "`5 strides at 72ft`"),
    ("line", "a forward five", "`5 forward strides`"),
    ("line", "5 strides left", "`- bend: left, 5 strides`"),
    ("line", "5.5 strides", "`- line: 66'`"), ("line", "5,5 strides", "`- line: 66'`"),
    ("line", "5 strides on the left lead", "`- jump: birch, land on the left lead`"),
    ("line", "8 strides, halt at the middle", "`halt in the middle`"),
    ("line", "8 strides, walk in between", "`walk in the middle`"),
    ("line", "8 strides, 4 walk steps", "`walk 4 steps in the middle`"),
    ("line", "8 strides, trot in the middle 4 steps", "`trot 4 steps in the middle`"),
    ("line", "8 strides, walk 5 m", "`walk 5 steps in the middle`"),
    ("line", "8 strides, halt for 5 seconds", "`halt 5 seconds`"),
    ("line", "8 strides, stop in the middle", "`halt in the middle`"),
    ("line", "8 strides, lead change", "`flying change` or `simple change`"),
    ("bend", "left 6", "`left, 6 strides`"), ("bend", "bending left in six", "`left in 6`"),
    ("turn", "L", "`left`"), ("turn", "left 90", "`- turn: left`"), ("turn", "long left", "`left`"),
    ("turn", "left past elm", "`left`"), ("turn", "tight left", "`- rollback: left`"),
    ("turn", "back", "`- rollback: left`"), ("turn", "left, 6 strides", "`- bend: left, 6 "
    "strides`"),
    ("start", "canter left", "`canter, left lead`"), ("start", "left canter", "`canter, left "
    "lead`"),
    ("start", "canter, left", "`left lead`"), ("start", "canter, from the left", "`along left`"),
    ("start", "canter, 20 m circle", "`circle left 20 m`"), ("start", "rising trot", "`trot`"),
    ("start", "canter at A", "`- start: canter, along left`"),
    ("jump", "elm at 20°", "`elm, angled left 20°` or `elm, angled right 20°`"),
    ("jump", "elm, left 20", "`angled left 20°`"), ("jump", "elm, angled", "`angled left 20°`"),
    ("jump", "elm lands left", "elm, land left"),
    ("jump", "elm, left", "`land on the left lead` or `angled left 20°`"),
    ("jump", "elm (left lead)", "`elm, left lead`"), ("jump", "elm form behind", "elm, from "
    "behind"),
    ("jump", "elm reversed", "`elm, from behind`"), ("jump", "elm, trot", "`- turn: left, trot`"),
    ("jump", "elm twice", "`- turn: left`"), ("jump", "birch and elm", "`- line: 5 strides`"),
    ("finish", "halt at B", "`- finish: halt on the line`"),
    ("finish", "halt in the middle", "`- finish: halt on the line`"),
    ("finish", "walk out", "`- finish: straight on, walk`"),
    ("finish", "halt 4 seconds", "`- finish: straight on, halt`"),
    ("finish", "circle", "`circle left` or `circle right`"), ("finish", "stop", "`halt`"),
    ("finish", "circle 20 m left", "`circle left 20 m`"),
    ("finish", "large circle left", "`circle left 20 m`"),
    ("finish", "circle left 20", "`circle left 20 m`"), ("finish", "turn left", "`circle left`"),
    ("on", "centreline", "`centre line`"), ("on", "the middle", "`centre line`"),
    ("on", "left side", "`5 m in from left`"), ("on", "5 m off the left", "`5 m in from left`"),
    ("on", "A-C", "`line A to C`"), ("on", "quarter line left", "`quarter line near left`"),
    ("on", "long side", "`5 m in from bottom`"), ("on", "3/4 line", "`quarter line`"),
    ("placed", "5 beyond birch", "`5 strides beyond birch`"),
    ("placed", "60 beyond birch", "`60' beyond birch` or `60 m beyond birch`"),
    ("placed", "birch + 5 strides", "`5 strides beyond birch`"),
    ("placed", "5 strides before birch", "`5 strides beyond birch from behind`"),
    ("placed", "20 m left of birch", "`arrange: birch parallel to elm`"),
    ("height", "two foot six", "`2 ft 6`"), ("height", "80 cms", "`80 cm`"),
    ("height", "1m10", "`1.10 m`"), ("height", "2'-6", "`2'6\"`"), ("height", "2-6", "`2'6\"`"),
    ("height", "ca. 80 cm", "`80 cm`"), ("height", "1,10m", "write 1.10m"),
    ("elm", "vertical, 2'6\"", "`vertical 2'6\"`"), ("elm", "vertical (2'6\")", "`vertical 2'6\"`"),
    ("elm", "vertical: 2'6\"", "`elm: vertical 2'6\"`"),
    ("elm", "vertical, height 2'6\"", "`vertical 2'6\"`"),
    ("elm", "3' oxer wide 3'", "`oxer 3' x 3'`"), ("elm", "oxer, square", "`square oxer`"),
    ("elm", "4 poles at 4'6\"", "`4 poles, 4'6\" apart`"),
    ("elm", "ground poles x 4", "`4 ground poles, 4'6\" apart`"),
    ("elm", "double 1 stride", "{kind: double, elements: "),
    ("elm", "vertical no ground line", "ground line: none"),
    ("elm", "{kind: vertical, height 2}", "`height: 2'`"),
    ("elm", "{kind: vertical, height 2'6\"}", "`height: 2'6\"`"),
    ("elm", "{kind oxer, height: 2'6\"}", "`kind: oxer`"), ("elm", "{oxer, 2'6\"}", "`kind: oxer`"),
    ("elm", "{kind: vertical, height 0,80 m}", "`height: 0.80 m`"),
    ("elm", "{kind: vertical, at: 10, 5}", "[10 m, 5 m]"),
    (ARRANGE, "birch, elm circle", "`birch, elm on a circle`"),
    (ARRANGE, "birch, elm on a 20 m circle", "`birch, elm on a circle 20 m`"),
    (ARRANGE, "birch, elm on a circle 20", "`birch, elm on a circle 20 m`"),
    (ARRANGE, "circle of 20 m with birch, elm", "`birch, elm on a circle 20 m`"),
    (ARRANGE, "{circle: [birch, elm]}", "`- birch, elm on a circle`"),
    (ARRANGE, "[{circle: 20 m, fences: [birch, elm]}]", "`birch, elm on a circle 20 m`"),
    (ARRANGE, "[{serpentine: [birch, elm]}]", "`birch, elm in a serpentine`"),
    (ARRANGE, "[{birch: parallel to elm}]", "`birch parallel to elm`"),
    (ARRANGE, "birch and elm are parallel", "`birch parallel to elm`"),
    (ARRANGE, "birch 90° to elm", "`birch square to elm`"),
    (ARRANGE, "birch, elm mirrored over the centre line", "`birch mirrors elm over the centre "
    "line`"),
    (ARRANGE, "birch, elm on the centre line", "`birch: vertical, on centre line`"),
    (ARRANGE, "birch, elm on the long side", "`birch, elm on an outside line`"),
    (MOVE, "elm left 2 steps", "`elm 2 steps left`"), (MOVE, "elm 2 left", "`elm 2 steps left`"),
    (MOVE, "move elm 2 m to the left", "`elm 2 m left`"),
    (MOVE, "elm two steps forwards", "`elm 2 steps forward`"),
    (MOVE, "elm: 2 m left", "`move: elm 2 m left`"), (MOVE, "{elm: 2 m left}", "`- elm 2 m left`"),
    ("step", "5 strides", "`- line: 5 strides`"), ("step", "left turn", "`- turn: left turn`"),
    ("step", "strides: 5", "`- line: 5 strides`"), ("step", "left: 6 strides", "`- bend: left, "),
    ("step", "straight: 5 strides", "`- line: 5 strides`"), ("step", "turn", "`- turn: left`"),
    ("step", "bending line: left, 6 strides", "`- bend: left, 6 strides`"),
    ("step", "line:5 strides", "`- line: 5 strides`, with a blank after the colon"),
    ("level", "two foot six", "`2 ft 6`"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "said", "wanted"), SAID)
def test_it_is_told_in_the_words_of_the_format(key: str, said: str, wanted: str) -> None:
    found = errors(key, said)
    assert found
    assert any(wanted in d.hint for d in found), [d.hint for d in found]
    assert not any(d.hint.startswith("you may say") for d in found)


@pytest.mark.parametrize(
    ("key", "said"),
    [row[:2] for row in SAID if re.fullmatch(r"`[^`-][^`]*`(?: or `[^`]*`)?", row[2])],
)
def test_what_is_told_can_be_written(key: str, said: str) -> None:
    (first, *_) = found = errors(key, said)
    for better in re.findall(r"`([^`]+)`", first.hint):
        text = better
        if key in ("elm", "more", ARRANGE, MOVE, "height", "placed", "on"):
            if said.startswith("{kind"):
                continue
            text = better.removeprefix(f"{key}: ").removeprefix("- ")
        elif key == "jump" and not better.startswith("elm"):
            text = f"elm, {better}"
        elif "," in said:
            text = (
                said.replace(first.message.split('"')[1], better) if '"' in first.message else text
            )
        wrong = [d for d in errors(key, text) if d.rule in (first.rule, "not-understood", "fence")]
        # A way that needs a hand or strides besides is asked for those, not for other words.
        assert not [d for d in wrong if "is missing" not in d.message], (better, wrong, found)


def test_every_table_is_asked() -> None:
    texts = [said for _, said, _ in SAID]
    pieces = {piece.strip() for said in texts for piece in [said, *said.split(",")]}
    for table in (CLAUSES, FENCES, LENGTHS, LINES, MOVES, PLACES, ARRANGED):
        assert any(re.fullmatch(p, piece, re.IGNORECASE) for p, _ in table for piece in pieces)
