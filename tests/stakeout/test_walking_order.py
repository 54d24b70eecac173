"""Pegs along a rail: set as a crew walks past them, and none that is only a stepping stone while
another that is wanted anyhow can be one."""

from __future__ import annotations

import math

import pytest
from made_once import set_out
from samples import SHIPPED

from diagram.exercise.arena import from_size
from diagram.stakeout.crew import crew_for
from diagram.stakeout.pegs import PegSpot, pegs_to
from diagram.units import FOOT, Units

TAPE, STEP = 100 * FOOT, 10 * FOOT


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", [file.stem for file in SHIPPED])
def test_pegs_of_a_fence_come_as_they_are_walked_past(stem: str, units: Units) -> None:
    leaf = set_out(stem, units).leaf
    assert [peg.number for peg in leaf.pegs] == list(range(1, len(leaf.pegs) + 1))
    for fence in leaf.fences:
        for one, other in zip(fence.pegs, fence.pegs[1:], strict=False):
            if (one.side, one.zero) == (other.side, other.zero):
                assert one.along_m < other.along_m


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", [file.stem for file in SHIPPED])
def test_a_stepping_stone_is_needed(stem: str, units: Units) -> None:
    """No other peg of its side would have done in its place: none that lies within a tape of the
    corner, and from which a tape reaches what is taped from the stone."""
    leaf, tape = set_out(stem, units).leaf, crew_for(units).tape_length
    held = {r.start for fence in leaf.fences for r in fence.readings if r.word != "along"}
    for stone in (peg for peg in leaf.pegs if peg.name not in held):
        after = [peg for peg in leaf.pegs if peg.start == stone.name]
        begin = stone.along_m - stone.metres
        assert after
        for other in leaf.pegs:
            if (other.side, other.zero) != (stone.side, stone.zero) or other is stone:
                continue
            within = 1.0 < other.along_m - begin <= tape
            reaches = all(other.along_m < p.along_m <= other.along_m + tape for p in after)
            assert not (within and reaches), f"{other.name} would do for {stone.name}"


def test_a_peg_that_is_wanted_anyhow_is_the_stone() -> None:
    arena = from_size(90.0, 40.0)
    [side, (a, b)] = max(arena.sides.items(), key=lambda s: math.dist(*s[1]))

    def at(feet: float) -> PegSpot:
        share = feet * FOOT / math.dist(a, b)
        return PegSpot(side, (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))

    alone = pegs_to(at(120), (), TAPE, STEP, arena)
    assert [round(peg.along_m / FOOT) for peg in alone] == [100, 120]
    chained = pegs_to(at(120), (), TAPE, STEP, arena, [at(75)])
    assert [round(peg.metres / FOOT) for peg in chained] == [75, 45]
    # One from which no fewer tapes are needed is not set before its turn.
    far = pegs_to(at(120), (), TAPE, STEP, arena, [at(15)])
    assert [round(peg.metres / FOOT) for peg in far] == [100, 20]
