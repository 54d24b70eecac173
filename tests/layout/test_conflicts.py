"""Files that contradict themselves: the conflict named is a smallest one, shown by solving.

Whether relations can hold is judged by `relations_apart.can_hold`, which is scipy's least squares
on equations written a second time, and not by the solver itself.
"""

from __future__ import annotations

import random

import pytest
from msgspec.structs import replace
from relations_apart import can_hold
from sensible_layouts import setting_of

from diagram.diagnostics import RejectedError
from diagram.placing import working_out
from diagram.placing.arrange import arrange
from diagram.placing.posing import pose_problem
from diagram.solver.conflict import smallest_conflict
from diagram.solver.relations import Problem
from diagram.solver.solve import solve

HEAD = "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'9\"\nhorses: 12' stride\n"
FREE = "{kind: vertical, ground line: both sides}"


def text_of(fences: dict[str, str], ride: list[str], arranged: list[str]) -> str:
    """The text of an exercise in a roomy arena."""
    lines = ["arena: 80 x 60 m", "fences:", *(f"  {n}: {said}" for n, said in fences.items())]
    lines += ["arrange:", *(f"  - {said}" for said in arranged)] if arranged else []
    return HEAD + "\n".join([*lines, "ride:", *(f"  - {step}" for step in ride)]) + "\n"


def problem_of(text: str) -> Problem:
    """The problem posed."""
    problem, wrong = pose_problem(setting_of(text))
    assert wrong == []
    return problem


def contradictory(seed: int) -> tuple[str, int]:
    """A text with a contradiction put into it, and how many relations it takes at most.

    Beside the contradiction stand fences and relations that have nothing to do with it.
    """
    rng = random.Random(seed)
    strides, other = rng.sample(range(3, 8), 2)
    hand = rng.choice(["left", "right"])
    fences = {"ash": FREE, "birch": FREE, "cedar": FREE, "elm": FREE}
    aside = [f"turn: {hand}", "jump: cedar", f"line: {rng.randint(2, 4)} strides", "jump: elm"]
    out = ["jump: ash", f"line: {strides} strides", "jump: birch"]
    arranged = [rng.choice(["cedar parallel to elm", "elm parallel to cedar"])]
    match seed % 7:
        case 0:  # one line in two counts that no horse can ride on one length
            other = strides + 3 if strides < 5 else strides - 3
            ride, most = [*out, *aside, f"turn: {hand}", "jump: ash", f"line: {other} strides",
                          "jump: birch"], 2  # fmt: skip
        case 1:  # two pins and a line between them
            fences["ash"] = "{kind: vertical, at: [10 m, 10 m]}"
            fences["birch"] = f"{{kind: vertical, at: [{14 + 4 * strides} m, 40 m]}}"
            ride, most = [*out, *aside], 3
        case 2:  # a line of two fences square to each other
            arranged.append("ash square to birch")
            ride, most = [*out, *aside], 2
        case 3:  # a bend through one angle and another
            bend = f"bend: {hand} 40°, 5 strides"
            ride, most = ["jump: ash", bend, "jump: birch", *aside, "turn: left", "jump: ash",
                          f"bend: {hand} 75°, 5 strides", "jump: birch"], 2  # fmt: skip
        case 4:  # in line, but on two parallel lines and jumped along them
            fences["ash"] = "{kind: vertical, on: centre line}"
            fences["birch"] = "{kind: vertical, on: quarter line}"
            ride, most = [*out, *aside], 3
        case 5:  # a triangle of straight lines
            fences["fir"] = FREE
            ride, most = [*out, "line: 3 strides", "jump: fir", "line: 3 strides", "jump: ash",
                          *aside], 3  # fmt: skip
        case _:  # a bend between two fences that face the same way
            arranged.append("ash parallel to birch")
            ride, most = ["jump: ash", f"bend: {hand} 60°, 5 strides", "jump: birch", *aside], 2
    return text_of(fences, ride, arranged), most


@pytest.mark.parametrize(
    "seed", [pytest.param(n, marks=[pytest.mark.long] * (n >= 7)) for n in range(14)]
)
def test_the_conflict_is_a_smallest_one(seed: int) -> None:
    text, most = contradictory(seed)
    problem = problem_of(text)
    members = smallest_conflict(problem)
    assert 1 <= len(members) <= most, [m.words for m in members]
    alone = replace(problem, relations=members, opens=())
    assert not can_hold(alone, tries=12)
    for left_out in members:
        rest = tuple(member for member in members if member is not left_out)
        assert can_hold(replace(alone, relations=rest)), left_out.words


@pytest.mark.parametrize("seed", range(7))
def test_the_lines_of_the_file_are_named(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The search for better places is left out: there are none, and it takes its time to say so."""
    monkeypatch.setattr(working_out, "found", lambda problem, *_: solve(problem)[0])
    _names_its_lines(*contradictory(seed))


@pytest.mark.parametrize(
    "seed", [pytest.param(n, marks=[pytest.mark.long] * (n not in (1, 4))) for n in range(7)]
)
def test_the_lines_are_named_after_the_whole_search(seed: int) -> None:
    _names_its_lines(*contradictory(seed))


def _names_its_lines(text: str, most: int) -> None:
    with pytest.raises(RejectedError) as caught:
        arrange(setting_of(text))
    [found] = caught.value.diagnostics
    assert found.rule == "contradicts-itself"
    lines = dict(found.facts)["lines"]
    assert 1 <= len(lines) <= most
    for number in lines:
        line = text.splitlines()[number - 1]
        assert any(word in line for word in ("line:", "bend:", "at:", "on:", " to ")), line
    assert "cedar" not in str(found.message)


REPEATED = {
    "a line ridden home": (
        {"ash": FREE, "birch": FREE, "cedar": FREE},
        ["jump: ash", "line: 5 strides", "jump: birch", "turn: left", "jump: cedar", "turn: left",
         "jump: ash", "line: 5 strides", "jump: birch"],
        [],
    ),
    "said twice that two are parallel": (
        {"ash": FREE, "birch": FREE},
        ["jump: ash", "line: 5 strides", "jump: birch"],
        ["ash parallel to birch", "birch parallel to ash"],
    ),
    "placed and ridden": (
        {"ash": FREE, "birch": "{kind: vertical, placed: 5 strides beyond ash}"},
        ["jump: ash", "line: 5 strides", "jump: birch"],
        [],
    ),
    "mirrored both ways": (
        {"ash": FREE, "birch": FREE},
        ["jump: ash", "turn: left", "jump: birch"],
        ["ash mirrors birch over the centre line", "birch mirrors ash over the centre line"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REPEATED)
def test_what_merely_repeats_is_no_conflict(name: str) -> None:
    fences, ride, arranged = REPEATED[name]
    text = text_of(fences, ride, arranged)
    assert smallest_conflict(problem_of(text)) == ()
    assert arrange(setting_of(text)).outcome.startswith("placed")


def test_what_needs_more_room_is_no_conflict() -> None:
    """A line of twelve strides holds by itself; it is the arena that is too short."""
    text = text_of({"ash": FREE, "birch": FREE}, ["jump: ash", "line: 12 strides", "jump: birch"],
                   []).replace("80 x 60 m", "30 x 20 m")  # fmt: skip
    assert smallest_conflict(problem_of(text)) == ()
