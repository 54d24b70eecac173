"""Feet and metres on the leaf: on one page all the same, and every row of the second leaf whole.

Names of fences that are long go on in a second line, in checks and on the second leaf.
"""

from __future__ import annotations

import pytest
from made_exercises import made_plan
from made_once import leaves, set_out

from diagram.drawing.leaf_page import ELSEWHERE
from diagram.drawing.leaf_rows import broken
from diagram.pipeline import setting_of
from diagram.scene import Scene, Text
from diagram.stakeout.crew import crew_for
from diagram.units import Units, metres_text
from diagram.writers.setting_sheet import sheet_scenes


def _said(scenes: tuple[Scene, ...]) -> list[str]:
    return [mark.text for scene in scenes for mark in scene.walk() if isinstance(mark, Text)]


def _leaves(scenes: tuple[Scene, ...]) -> list[Scene]:
    return [scene for scene in scenes if scene.title.startswith("Builder's leaf")]


@pytest.mark.parametrize("paper", ["A4", "Letter", "Tabloid"])
def test_eight_fences_are_one_page_in_both_units(paper: str) -> None:
    """The rows in feet alone then, and where the metres are is said: every foot by two tapes."""
    setting = set_out("outside-diagonal-outside-diagonal", "both")
    scenes = leaves("outside-diagonal-outside-diagonal", "both", paper)
    [leaf] = _leaves(scenes)
    assert ELSEWHERE in " ".join(_said((leaf,)))
    second = _said(scenes[1:])
    feet = [foot for fence in setting.fences for foot in fence.feet[:2]]
    for metres in (metres for foot in feet for metres in foot.tapes):
        assert metres_text(metres) in second


def test_three_fences_have_both_in_their_rows() -> None:
    setting = set_out("inside-or-outside", "both")
    [leaf] = _leaves(leaves("inside-or-outside", "both", "A4"))
    said = _said((leaf,))
    assert ELSEWHERE not in " ".join(said)
    for fence in setting.leaf.fences:
        for reading in fence.readings:
            assert all(metres_text(metres) in said for metres in reading.read_m)


@pytest.mark.parametrize(("seed", "units"), [(15, "feet"), (18, "both")])
def test_a_long_name_is_never_cut(seed: int, units: Units) -> None:
    scenes = sheet_scenes(setting_of(made_plan(seed), crew_for(units)))
    assert [text for text in _said(scenes) if "…" in text] == []


def test_lengths_of_lines_are_the_largest_figures_where_there_is_room() -> None:
    """22 points, where the readings beside them have 16."""
    [leaf] = _leaves(leaves("fan-of-three-angles", "feet", "A4"))
    sizes = {round(mark.size * 72 / 25.4, 1) for mark in leaf.walk()
             if isinstance(mark, Text) and mark.text == "71'5\""}  # fmt: skip
    assert 22.0 in sizes


def test_a_peg_is_not_parted_from_its_number() -> None:
    for width in (20.0, 25.0, 30.0, 35.0, 40.0):
        lines = broken("hedge side, yard end to peg 1 and peg 12 on", 3.7, width)
        assert " ".join(lines) == "hedge side, yard end to peg 1 and peg 12 on"
        assert not any(line.endswith("peg") for line in lines)
