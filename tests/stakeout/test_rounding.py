"""Rounded together, readings keep the lines: bound by hypothesis, optimum by trying everything."""

from __future__ import annotations

import math
import random
from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from diagram.exercise.arena import from_size
from diagram.geometry.pose import Pose
from diagram.stakeout.choosing import choose
from diagram.stakeout.crew import crew_for
from diagram.stakeout.lines import LineEnd, TapedLine
from diagram.stakeout.points import ROWS, Foot, fixed_points
from diagram.stakeout.rounding import line_errors, round_together

ARENA = from_size(60, 30)
POLE = 3.6576


def _fence(name: str, x: float, y: float, heading: float, spread: float) -> list[Foot]:
    pose = Pose(x, y, heading)
    planes = (-spread / 2, spread / 2) if spread else (0.0,)
    return [
        Foot(name, side, row, pose.ahead(plane, left).point)  # type: ignore[arg-type]
        for plane, row in zip(planes, ROWS[len(planes)], strict=True)
        for side, left in (("left", POLE / 2), ("right", -POLE / 2))
    ]


def _line(one: list[Foot], other: list[Foot]) -> TapedLine:
    start = LineEnd(one[-1].fence, one[-1].row, 0.0)
    end = LineEnd(other[0].fence, other[0].row, 0.0)
    feet = {foot.name: foot.point for foot in (*one, *other)}
    metres = math.dist(start.place(feet), end.place(feet))
    return TapedLine(start, end, metres, metres, None, False)


fences = st.lists(
    st.tuples(
        st.floats(4, 56), st.floats(4, 26), st.floats(-3.1, 3.1), st.sampled_from([0, 0.7, 0.9])
    ),
    min_size=2,
    max_size=4,
)


def _set(drawn: list[tuple[float, float, float, float]]):  # type: ignore[no-untyped-def]
    feet = [_fence(f"f{n}", *values) for n, values in enumerate(drawn)]
    lines = [line for a, b in pairwise(feet) if (line := _line(a, b)).straight_m > 2]
    return feet, lines


@settings(max_examples=60, deadline=None)
@given(fences, st.sampled_from([("feet", None), ("metres", None), ("metres", 0.1)]))
def test_no_line_is_off_by_a_step(drawn, said) -> None:  # type: ignore[no-untyped-def]
    units, rounding = said
    crew = crew_for(units, rounding=rounding)
    feet, lines = _set(drawn)
    ways = choose(feet, ARENA, crew)
    rounded = round_together(ways, lines, fixed_points(ARENA), crew.rounding)
    for line in lines:
        best, most = line_errors(rounded, ways, line)
        # Half a step for each of its two ends: whichever way each fence is set.
        assert abs(best) <= abs(most) + 1e-12
        assert abs(most) < crew.rounding
    for readings in rounded.readings.values():
        for value in readings:
            assert abs(value / crew.rounding - round(value / crew.rounding)) < 1e-6


def test_together_the_lines_keep_better_than_each_reading_by_itself() -> None:
    """Forty exercises at random: the root mean square of what rounding does to a line."""
    crew = crew_for("metres", rounding=0.1, tape_length=100.0)
    marks = fixed_points(ARENA)
    chance = random.Random(2)
    together, alone = [], []
    for _ in range(40):
        drawn = [
            (chance.uniform(5, 55), chance.uniform(5, 25), chance.uniform(-3, 3), 0.0)
            for _ in range(3)
        ]
        feet, lines = _set(drawn)
        ways = choose(feet, ARENA, crew)
        rounded = round_together(ways, lines, marks, crew.rounding)
        each: dict[str, tuple[float, float]] = {}
        for way in ways:
            near = [round(r / 0.1) * 0.1 for r in (way.tapes.first_m, way.tapes.second_m)]
            place = way.tapes.place(near[0], near[1], {**marks, **each})
            each[way.foot.name] = place or way.foot.point
        ours = {way.foot.name: rounded.places[way.foot.name, "tapes"] for way in ways}
        together += [(line.taped(ours) - line.straight_m) ** 2 for line in lines]
        alone += [(line.taped(each) - line.straight_m) ** 2 for line in lines]
    assert sum(together) < sum(alone) / 9


def test_a_small_case_is_as_good_as_trying_everything() -> None:
    """Two verticals and a line: all 16 x 16 choices of the two tapes of four feet."""
    crew = crew_for("metres", rounding=0.1)
    feet, lines = _set([(14.13, 9.37, 0.2, 0.0), (36.71, 14.11, 0.17, 0.0)])
    ways = [replace(way, offset=None) for way in choose(feet, ARENA, crew)]
    marks = fixed_points(ARENA)
    assert all(way.tapes.first in marks and way.tapes.second in marks for way in ways)
    rounded = round_together(ways, lines, marks, crew.rounding)
    [line] = lines

    def cost(places: dict[str, tuple[float, float]]) -> float:
        poles = [math.dist(places[f"f{n} left"], places[f"f{n} right"]) - POLE for n in range(2)]
        off = line.taped(places) - line.straight_m
        return 10 * (off / 0.1) ** 2 + sum((p / 0.1) ** 2 for p in poles)

    choices = []
    for way in ways:
        exact = (way.tapes.first_m, way.tapes.second_m)
        each = [{math.floor(v / 0.1) * 0.1, math.ceil(v / 0.1) * 0.1} for v in exact]
        choices.append([way.tapes.place(a, b, marks) for a, b in product(*each)])
    names = [way.foot.name for way in ways]
    best = min(cost(dict(zip(names, places, strict=True))) for places in product(*choices))
    ours = cost({name: rounded.places[name, "tapes"] for name in names})
    # The search is local; a twentieth of a step in one pole is 0.0025.
    assert ours <= best + 0.01


def test_exact_steps_stay_as_they_are() -> None:
    crew = crew_for("metres", rounding=0.5)
    feet = [[Foot("f", "left", "", (24.0, 18.0)), Foot("f", "right", "", (32.0, 24.0))]]
    ways = choose(feet, ARENA, crew)
    rounded = round_together(ways, [], fixed_points(ARENA), crew.rounding)
    assert rounded.readings["f left", "offset"] == (36.0, 12.0)


def test_poles_and_spreads_keep_where_there_is_no_line() -> None:
    """Forty spreads at random, alone in the ring: against each reading rounded by itself."""
    crew = crew_for("metres", rounding=0.1)
    marks = fixed_points(ARENA)
    chance = random.Random(4)
    together = alone = 0.0
    for _ in range(40):
        x, y, turn = chance.uniform(5, 55), chance.uniform(5, 25), chance.uniform(-3, 3)
        ways = choose([_fence("f", x, y, turn, 0.9)], ARENA, crew)
        rounded = round_together(ways, [], marks, crew.rounding)
        ours = {way.foot.name: rounded.places[way.foot.name, "tapes"] for way in ways}
        each = {}
        for way in ways:
            near = [round(r / 0.1) * 0.1 for r in (way.tapes.first_m, way.tapes.second_m)]
            each[way.foot.name] = way.tapes.place(near[0], near[1], marks) or way.foot.point
        for one, other in ("left front", "right front"), ("left front", "left back"):
            true = {way.foot.name: way.foot.point for way in ways}
            asked = math.dist(true[f"f {one}"], true[f"f {other}"])
            together += (math.dist(ours[f"f {one}"], ours[f"f {other}"]) - asked) ** 2
            alone += (math.dist(each[f"f {one}"], each[f"f {other}"]) - asked) ** 2
    assert together < alone / 2
