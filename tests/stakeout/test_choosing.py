"""Which tapes are held where: against trying every pair, and in awkward arenas."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from made_once import planned, set_out
from msgspec.structs import replace
from samples import SAMPLES
from two_tapes import expected_error

from diagram.exercise.arena import Arena, GatePlace, from_size
from diagram.geometry.region import Region
from diagram.pipeline import plan
from diagram.stakeout.choosing import SAG, SAME_HOOKS, choose
from diagram.stakeout.crew import crew_for
from diagram.stakeout.crossing import angle_between, other_crossing
from diagram.stakeout.known import Known
from diagram.stakeout.points import Foot, feet, fixed_points
from diagram.stakeout.sides import gap_to, landmarks, nearer_to

ARENA = from_size(60, 30)


def _pair(x: float, y: float, width: float = 3.66) -> list[Foot]:
    return [
        Foot("f", "left", "", (x, y + width / 2)),
        Foot("f", "right", "", (x, y - width / 2)),
    ]


@pytest.mark.parametrize("at", [(10, 10), (30, 15), (41, 7), (55, 25), (22, 3), (5, 28)])
def test_no_pair_of_fixed_points_is_much_better(at: tuple[float, float]) -> None:
    """Every pair tried, with tapes that reach everywhere; the allowance is for one pair of
    hooks for both feet, and for long tapes being worth less."""
    crew = crew_for("metres", tape_length=100.0)
    for way in choose([_pair(*at)], ARENA, crew):
        best = min(
            expected_error(angle_between(a, b, way.foot.point), crew.tape_error)
            for a, b in combinations(fixed_points(ARENA).values(), 2)
        )
        assert best - 1e-9 <= way.tapes.error_m <= best * SAME_HOOKS * (1 + SAG)


def test_a_tape_laid_twice_crosses_nothing_while_there_is_another_way() -> None:
    crew = crew_for("metres", tape_length=20.0)
    for x, y in ((9, 15), (8, 14.5), (7, 15.5)):
        for way in choose([_pair(x, y)], ARENA, crew):
            assert max(way.tapes.first_m, way.tapes.second_m) <= 20
    for way in choose([_pair(30, 15)], ARENA, crew):
        assert min(way.tapes.first_m, way.tapes.second_m) > 20
        error = expected_error(way.tapes.angle, crew.tape_error * math.sqrt(2))
        assert way.tapes.error_m == pytest.approx(error)


def test_standing_feet_serve_and_hand_on_their_error() -> None:
    crew = crew_for("metres", tape_length=40.0)
    near, far = ([replace(f, fence=n) for f in _pair(x, 20)] for n, x in (("a", 20), ("c", 70)))
    ways = choose([near, far, _pair(45, 40)], from_size(200, 100), crew)
    hung = [way for way in ways[4:] if way.tapes.first[0] in "ac" and way.tapes.second[0] in "ac"]
    assert hung
    for way in hung:
        alone = expected_error(way.tapes.angle, crew.tape_error)
        assert way.tapes.error_m > alone


def test_a_mark_that_stands_brings_its_error_along() -> None:
    crew = crew_for("metres")
    error = 0.5
    drift = np.array([[error / math.sqrt(2), 0.0], [0.0, error / math.sqrt(2)]])
    mark = Known("post", (30.0, 10.0), drift)
    for way in choose([_pair(30, 18)], ARENA, crew, [mark]):
        assert "post" not in (way.tapes.first, way.tapes.second)
    sure = Known("post", (30.0, 10.0), np.zeros((2, 2)))
    middle = replace(sure, at=(100.0, 50.0))
    ways = choose([_pair(110, 60)], from_size(200, 100), crew, [middle])
    assert any("post" in (way.tapes.first, way.tapes.second) for way in ways)


def test_a_foot_at_the_rail_is_set_off_the_rail() -> None:
    """Near the middle of a long side: far from every corner, and hardly out at all."""
    for way in choose([_pair(30, 1.0, 1.2)], ARENA, crew_for("metres", tape_length=25.0)):
        assert way.best == "offset"
        assert way.error_m < way.tapes.error_m
        assert way.offset is not None
        assert way.offset.side == "bottom"


def _strip() -> Arena:
    """A lane so narrow that only its ends can be taped from."""
    corners = ((0.0, 0.0), (80.0, 0.0), (80.0, 5.0), (0.0, 5.0))
    region = Region(corners)
    names = ("bottom", "right", "top", "left")
    return Arena("lane", region, dict(zip(names, region.edges, strict=True)))


def test_a_weak_crossing_is_known_as_one() -> None:
    ways = choose([_pair(40, 2.5, 1.5)], _strip(), crew_for("metres", tape_length=100.0))
    weak = [way for way in ways if way.tapes.weak]
    assert weak
    for way in weak:
        assert math.degrees(math.asin(math.sin(way.tapes.angle))) < 30


def test_a_tape_does_not_leave_the_arena() -> None:
    """An arena with a deep notch: the corners behind it cannot be seen."""
    corners = ((0, 0), (60, 0), (60, 30), (34, 30), (34, 8), (26, 8), (26, 30), (0, 30))
    region = Region(tuple((float(x), float(y)) for x, y in corners))
    sides = {f"side {n + 1}": edge for n, edge in enumerate(region.edges)}
    arena = Arena("notched", region, sides)
    marks = fixed_points(arena)
    for way in choose([_pair(10, 20)], arena, crew_for("metres", tape_length=100.0)):
        for name in (way.tapes.first, way.tapes.second):
            steps = np.linspace(0, 1, 200)[:, None]
            line = np.array(marks[name]) * (1 - steps) + np.array(way.foot.point) * steps
            assert arena.region.inside(line).min() > -0.06


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_the_right_crossing_is_nearer_to_what_is_named(file: Path) -> None:
    made, setting = planned(file.stem), set_out(file.stem, "feet")
    pegs = {peg.name: peg.at for peg in setting.leaf.pegs}
    marks = {**setting.fixed, **pegs, **feet(made)}
    stretches = landmarks(made.arena)
    for fence in setting.fences:
        for foot in fence.feet:
            tapes = foot.ways.tapes
            second = other_crossing(marks[tapes.first], marks[tapes.second], foot.ways.foot.point)
            named = stretches[tapes.towards]
            gain = gap_to(named, second) - gap_to(named, foot.ways.foot.point)
            # A metre is more than any tape is off: nobody takes the wrong one.
            assert gain > 1.0


def test_the_gate_is_named_where_it_tells_as_much() -> None:
    made = plan(SAMPLES[0])
    assert nearer_to(made.arena, (60.0, 0.0), (60.0, 30.0), (40.0, 15.0)) == "gate"
    assert nearer_to(made.arena, (0.0, 0.0), (60.0, 0.0), (30.0, 10.0)) != "gate"


def test_what_two_marks_share_is_counted_once() -> None:
    """Both posts of one gate stand 5 cm off the same way: so does all that is set from them."""
    crew = crew_for("metres", tape_length=30.0, tape_error=0.02)
    drift = np.array([[0.05], [0.0]])
    posts = [Known("p", (490.0, 500.0), drift), Known("q", (510.0, 500.0), drift)]
    for way in choose([_pair(500, 520)], from_size(1000, 1000), crew, posts):
        assert {way.tapes.first, way.tapes.second} == {"p", "q"}
        assert abs(math.cos(way.tapes.angle)) > 0.05
        alone = expected_error(way.tapes.angle, 0.02)
        assert way.tapes.error_m == pytest.approx(math.hypot(alone, 0.05))


@pytest.mark.parametrize(("up", "told_by"), [(12.0, "gate"), (30.0, "left")])
def test_the_gate_is_named_where_it_tells_two_crossings_apart_nearly_as_well(
    up: float, told_by: str
) -> None:
    """By Pythagoras the gate does 0.83 of what the side does at 12 m and 0.38 at 30 m."""
    ring = Region(((0.0, 0.0), (40.0, 0.0), (40.0, 80.0), (0.0, 80.0)))
    names = ("near", "right", "far", "left")
    arena = Arena(
        "ring",
        ring,
        dict(zip(names, ring.edges, strict=True)),
        gate=GatePlace((0.0, 4.0), 4.0, "left", (0.0, 1.0)),
    )
    share = (math.hypot(15, up - 6) - math.hypot(5, up - 6)) / 10
    assert share == pytest.approx({12.0: 0.83, 30.0: 0.38}[up], abs=0.01)
    assert nearer_to(arena, (10.0, 0.0), (10.0, 80.0), (5.0, up)) == told_by
