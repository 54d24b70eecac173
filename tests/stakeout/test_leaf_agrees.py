"""What a crew must not have to guess: the same inch on both leaves, and which of two places."""

from __future__ import annotations

import math

import pytest
from made_once import set_out
from samples import SAMPLES, SHIPPED

from diagram.geometry.region import Region
from diagram.stakeout.crossing import other_crossing
from diagram.stakeout.leaf_marks import marks_of_leaf
from diagram.stakeout.leaf_words import words_for
from diagram.stakeout.points import fixed_points
from diagram.units import Units

BOTH = [(file.stem, units) for file in SAMPLES for units in ("feet", "metres")]


@pytest.mark.parametrize(("stem", "units"), BOTH)
def test_both_leaves_read_the_same_at_the_same_foot(stem: str, units: Units) -> None:
    setting = set_out(stem, units)
    told = {
        (end, reading.start): read
        for fence in setting.leaf.fences
        for reading in fence.readings
        for end, read in zip(reading.ends, reading.read_m, strict=True)
    }
    for fence in setting.fences:
        for foot in fence.feet:
            tapes = foot.ways.tapes
            for mark, read in zip((tapes.first, tapes.second), foot.tapes, strict=True):
                first = told.get((foot.ways.foot.name, mark))
                assert first is None or first == pytest.approx(read, abs=1e-6)


@pytest.mark.parametrize(("stem", "units"), BOTH)
def test_square_tapes_do_not_contradict_the_line(stem: str, units: Units) -> None:
    """By Apollonius' theorem two tapes to the ends of a pole tell the length to its middle."""
    setting = set_out(stem, units)
    step = setting.crew.rounding
    for fence in setting.leaf.fences:
        by_word = {reading.word: reading for reading in fence.readings}
        line, square = by_word.get("line"), by_word.get("square")
        if line is None or square is None:
            continue
        half = fence.placed.fence.measures.width_m / 2
        told = math.sqrt(sum(r * r for r in square.read_m) / 2 - half * half)
        assert told == pytest.approx(line.read_m[0], abs=1.05 * step)


@pytest.mark.parametrize(("stem", "units"), BOTH)
def test_where_both_crossings_lie_in_the_arena_the_row_says_which(stem: str, units: Units) -> None:
    setting = set_out(stem, units)
    words = words_for(setting.plan, setting.leaf, setting.crew)
    region: Region = setting.plan.arena.region
    marks = {**fixed_points(setting.plan.arena), **{p.name: p.at for p in setting.leaf.pegs}}
    for name in (fence.name for fence in setting.plan.fences):
        marks |= setting.row_middles(name)
    for fence in setting.leaf.fences:
        by_word = {reading.word: reading for reading in fence.readings}
        if "line" not in by_word or "direction" not in by_word:
            continue
        line, across = by_word["line"], by_word["direction"]
        meant = marks[across.ends[0]]
        other = other_crossing(marks[line.start], marks[across.start], meant)
        said = next(row.text for row in words.tapes(fence) if row.word == "direction")
        if region.depth(other) > 1.2:
            assert "nearer the" in said
        elif region.depth(other) < 0.8:
            assert "nearer the" not in said


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_every_mark_that_is_no_corner_has_its_place_on_the_leaf(file) -> None:  # type: ignore[no-untyped-def]
    setting = set_out(file.stem, "feet")
    words = words_for(setting.plan, setting.leaf, setting.crew)
    said = marks_of_leaf(words)
    for fence in setting.leaf.fences:
        for reading in fence.readings:
            if reading.start in setting.fixed and not reading.start.startswith("corner "):
                assert f"{words.mark(reading.start)}: " in said
