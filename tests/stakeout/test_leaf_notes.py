"""What is taped before the first fence, what the foot says, and what a check asks for."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest
from made_once import set_out
from samples import SHIPPED

from diagram.pipeline import setting_of
from diagram.stakeout.crew import crew_for
from diagram.stakeout.leaf_notes import middles, rail
from diagram.stakeout.leaf_words import LeafWords, words_for
from diagram.units import FOOT, Units, parse_length

STEMS = [file.stem for file in SHIPPED]


@cache
def _words(stem: str, units: Units, tape_length: float | None = None) -> LeafWords:
    usual = set_out(stem, units)
    if tape_length is None:
        return words_for(usual.plan, usual.leaf, usual.crew)
    crew = crew_for(units, tape_length=tape_length)
    return words_for(usual.plan, setting_of(usual.plan, crew).leaf, crew)


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("stem", STEMS)
def test_a_side_is_told_in_pieces_that_a_tape_holds(stem: str, units: Units) -> None:
    words = _words(stem, units)
    said = rail(words).split("inside: ")[1].split(".  ")[0]
    for whole, pieces in re.findall(r"([\d.'\"½ ]+m?) = ([^,]+?)(?:,|\. At|\. Right)", said):
        total = 0.0
        for piece in pieces.split(" + "):
            count, _, length = piece.rpartition(" × ")
            metres = parse_length(length.strip())
            assert metres <= words.crew.tape_length + 1e-9
            total += int(count or 1) * metres
        assert total == pytest.approx(parse_length(whole.strip()), abs=1e-6)


def test_a_square_corner_is_as_large_as_tape_and_rails_allow() -> None:
    assert "60' and 80' along the rails are 100' across" in rail(_words("test-at-3ft6", "feet"))
    assert "18 m and 24 m along the rails are 30 m across" in rail(_words("test-at-3ft6", "metres"))
    short = rail(_words("test-at-3ft6", "feet", 50 * FOOT))
    assert "30' and 40' along the rails are 50' across" in short
    # Not a rectangle: the corner is named, and it is a right angle.
    said = rail(_words("two-lines-one-fence", "feet"))
    one, other = re.findall(r"At the (.+) / (.+) corner 60'", said)[0]
    arena = _words("two-lines-one-fence", "feet").plan.arena
    assert math.cos(arena.outward(one) - arena.outward(other)) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("units", "within"), [("feet", '3"'), ("metres", "7 cm")])
def test_how_much_off_is_right_comes_of_the_readings(units: str, within: str) -> None:
    """Three tapes one after another of 2 cm each: twice the root of three times that, 6.9 cm."""
    assert f"Right within {within};" in rail(_words("test-at-3ft6", units))


@pytest.mark.parametrize("stem", STEMS)
def test_what_is_taped_again_is_in_a_row(stem: str) -> None:
    words = _words(stem, "feet")
    for check in words.leaf.checks:
        said = words.check_off(check)
        if found := re.search(r"tape (.+) of (.+) again", said):
            fence = next(f for f in words.leaf.fences if f.name == found[2])
            rows = {reading.word for reading in fence.readings}
            asked = {"out", "square"} if found[1] == "out and square" else {"direction"}
            assert asked <= rows, said


@pytest.mark.parametrize("stem", STEMS)
def test_the_fence_that_was_set_later_is_moved(stem: str) -> None:
    """What was set before it stands as it was checked, and other fences may be taped from it."""
    words = _words(stem, "feet")
    order = [fence.name for fence in words.leaf.fences]
    for check in words.leaf.checks:
        ends = [name for name in (check.start.fence, check.end.fence) if name in order]
        if check.is_line:
            assert check.off == max(ends, key=order.index)


def test_loose_standards_are_held_together() -> None:
    """Where each foot has two tapes of its own, the row has the length of the pole."""
    words = _words("test-at-3ft6", "feet")
    for fence in words.leaf.fences:
        square = [r for r in fence.readings if r.word == "square"]
        loose = fence.how == "rail" and len(square[0].ends) == 2
        checks = [line for line in words.tapes(fence) if line.word == "check"]
        assert [line.figure for line in checks] == ["12'"] * loose


def test_back_rows_are_placed_where_there_are_some() -> None:
    assert "Back row" in middles(_words("test-at-3ft6", "feet"))
    assert "Back row" not in middles(_words("four-poles-down-the-middle", "feet"))


@pytest.mark.parametrize("stem", STEMS)
def test_standards_are_called_by_sides_that_tell_them_apart(stem: str) -> None:
    words = _words(stem, "feet")
    for fence in words.leaf.fences:
        for line in words.tapes(fence, short=True):
            if found := re.search(r"to (.+), (.+) (?:standard|end)", line.named):
                assert found[1] != found[2]
