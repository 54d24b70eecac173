"""One thing said in several ways is one thing; what is said twice or half is asked about.

The wordings are those of riders and trainers (from memory, common practice).
"""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from diagram.exercise.terms import Terms
from diagram.model.phrases import PhraseError
from diagram.model.ride_said import (
    read_bend,
    read_circle,
    read_finish,
    read_jump,
    read_line,
    read_rollback,
    read_start,
    read_turn,
)
from diagram.pipeline import plan_text

SAME: list[tuple[Callable[[str], object], str, list[str]]] = [
    (read_start, "canter, left lead",
     ["canter on the left lead", "left lead canter", "pick up canter, left lead",
      "working canter, on the left rein", "canter left lead"]),
    (read_start, "trot, right lead", ["trot on the right rein", "right rein, trot"]),
    (read_jump, "birch, land on the left lead", ["birch, left lead", "birch, landing left"]),
    (read_jump, "birch from behind",
     ["birch backwards", "birch, the other way", "birch from the other side"]),
    (read_jump, "birch, angled left 20°",
     ["birch on an angle of 20° to the left", "birch, at 20° left"]),
    (read_line, "5 strides", ["five strides", "5 even strides"]),
    (read_line, "5 strides or 6", ["5 or 6 strides", "5-6 strides", "five or six strides"]),
    (read_line, "8 strides, halt", ["8 strides with a halt"]),
    (read_bend, "left, 5 strides",
     ["left 5 strides", "5 strides to the left", "left-hand bend, 5 strides", "5 strides left"]),
    (read_bend, "left, 6 strides or 5", ["left, 5 or 6 strides", "5 or 6 strides to the left"]),
    (read_bend, "left, round, 4 strides", ["left round, 4 strides"]),
    (read_turn, "left", ["to the left", "turn left", "left turn"]),
    (read_turn, "left, trot", ["left, come back to trot", "turn left and then trot"]),
    (read_turn, "left, simple change", ["left, with a simple change", "left with a simple change"]),
    (read_rollback, "left", ["to the left"]),
    (read_circle, "left, 20 m",
     ["20 m left", "left 20 m circle", "20 m circle left", "one 20 m circle to the left",
      "left, 20 metres"]),
    (read_finish, "circle left 20 m", ["20 m circle left", "left circle 20 m"]),
    (read_finish, "straight on, trot, walk",
     ["straight on, trot then walk", "straight, come back to trot, then walk",
      "straight on, trot and then walk"]),
    (read_finish, "halt on the line", ["halt in a straight line"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("read", "plain", "said"),
    [(read, plain, said) for read, plain, several in SAME for said in several],
)
def test_it_is_the_same(read: Callable[[str], object], plain: str, said: str) -> None:
    assert read(said) == read(plain)


@pytest.mark.parametrize(
    ("read", "said"),
    [
        # Which change is meant is the rider's to say.
        (read_turn, "left, lead change"),
        # Counts on each side of a walk are no count of the whole line.
        (read_line, "5 strides, bounce"),
        (read_line, "5"),
        (read_turn, "left right"),
        (read_turn, "left, right"),
        (read_bend, "left 5 strides 6 strides"),
        (read_finish, "straight on, somewhere"),
        # What is said first is ridden first; a circle to finish on is cantered.
        (read_finish, "trot, circle right, walk"),
        (read_start, "canter, left"),
    ],
)
def test_what_may_mean_two_things_is_asked_about(read: Callable[[str], object], said: str) -> None:
    with pytest.raises(PhraseError):
        read(said)


HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'6\"\narena: 60 x 30 m\n"
TAIL = "fences: {ash: {kind: vertical}}\nride:\n  - start: canter\n  - jump: ash\n"


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("horse, schooled", "{size: horse, experience: schooled}"),
        ("green small ponies", "{size: small pony, experience: green}"),
        ("trained horses", "{size: horse, experience: trained}"),
        ("schooled", "{experience: schooled}"),
        ("medium pony, green, 10' stride", "{size: medium pony, experience: green, stride: 10'}"),
        ("12'6\" stride", '{stride: "12\'6\\""}'),
    ],
)
def test_horses_in_words_are_the_horses_of_the_block(said: str, written: str) -> None:
    def terms(horses: str) -> Terms:
        return plan_text(f"{HEAD}horses: {horses}\n{TAIL}").terms

    assert terms(json.dumps(said)).horses == terms(written).horses


@pytest.mark.parametrize(
    ("said", "plain"),
    [
        ("5, walk 5, 5", "10 strides, walk 5 steps in the middle"),
        ("5 strides, walk, 5 strides", "10 strides, walk in the middle"),
        ("four, halt 3 seconds, four strides", "8 strides, halt 3 seconds in the middle"),
        ("left 30°, 4, trot 6 steps, 4", "left 30°, 8 strides, trot 6 steps in the middle"),
    ],
)
def test_a_change_of_gait_is_said_as_the_drawing_says_it(said: str, plain: str) -> None:
    read = read_bend if said.startswith("left") else read_line
    way, other = read(said), read(plain)
    assert way.transition
    assert other.transition
    # Beside the same line it is kept what was said of the sides, to be checked.
    assert way.transition.sides == (way.strides or 0) // 2
    assert replace(way, transition=replace(way.transition, sides=None)) == other


def test_sides_that_differ_are_answered_with_what_can_be_said() -> None:
    with pytest.raises(PhraseError) as problem:
        read_line("3, walk 5, 6")
    assert problem.value.hint == "write 9 strides, walk 5 steps after 3 strides"
