"""A grid, or one fence with many passes, on the side that one rides from: no doubt which name,
count, length or lead is whose."""

from __future__ import annotations

import pytest
from ink import overlaps
from made_exercises import made_plan
from made_once import planned

from diagram.drawing import SHEETS, draw_side_one
from diagram.drawing.ride_words import inner_words
from diagram.drawing.sheet import Drawn
from diagram.pipeline import drawing_of
from diagram.scene import Group, Text, walk
from diagram.units import Units, length_text


def _words(drawn: Drawn, name: str) -> list[Text]:
    groups = (g for g in drawn.scene.walk() if isinstance(g, Group) and g.name == name)
    return [mark for group in groups for mark in walk(group.children) if isinstance(mark, Text)]


GRIDS = ("grid-from-trot-on-the-centre-line", "pony-grid", "one-and-two")


@pytest.mark.parametrize("stem", GRIDS)
def test_the_letter_of_a_name_is_that_of_the_disc(stem: str) -> None:
    for crossing in planned(stem).crossings:
        label, name = crossing.jump.label, crossing.jump.fence
        assert name.endswith(f" {label[-1]}" if label else " pole")


@pytest.mark.parametrize("stem", GRIDS)
def test_every_count_has_its_length_right_under_it(stem: str) -> None:
    """None left out, none nearer to the count of the fences beside it."""
    made = planned(stem)
    drawn = drawing_of(made, units="both")
    counted = [leg for leg in made.legs if leg.link.inner and leg.strides]
    assert counted
    for leg in counted:
        count, length = _words(drawn, f"count-{leg.number}")
        assert length.text == length_text(leg.track_m, "both")
        assert length.at[0] == pytest.approx(count.at[0])
        assert 0.0 < length.at[1] - count.at[1] < 6.0


def test_a_second_line_has_its_length_where_the_first_has() -> None:
    made = planned("inside-or-outside")
    leg = next(leg for leg in made.legs if leg.others)
    (other,) = leg.others
    name = f"label-way-{leg.number}-in-{other.strides}"
    said = [mark.text for mark in _words(drawing_of(made, units="metres"), name)]
    assert said == [f"or {other.strides}", length_text(other.way.curve.length, "metres")]
    assert [mark.text for mark in _words(drawing_of(made), name)] == said[:1]


def test_strides_of_a_combination_are_said_once_where_they_are_alike() -> None:
    def said(stem: str) -> str:
        return inner_words([leg for leg in planned(stem).legs if leg.link.inner])

    assert said("grid-from-trot-on-the-centre-line") == "in 1 stride each"
    assert said("bounces-from-trot") == "in bounces"
    assert said("one-and-two") == "in 1, 2 strides"


def test_figures_before_squares_are_explained_where_there_are_any() -> None:
    for stem, there in (("clover-of-five", True), ("inside-or-outside", False)):
        foot = " ".join(mark.text for mark in _words(drawing_of(planned(stem)), "foot"))
        assert ("after jump" in foot) is there


@pytest.mark.parametrize(("paper", "units"), [("A4", "metres"), ("Letter", "both")])
def test_no_numeral_is_read_as_part_of_a_count(paper: str, units: Units) -> None:
    """Level with one it keeps half a millimetre more than the figures of a count from each other:
    5 before "5 strides" was read as 55."""
    drawn = drawing_of(planned("clover-of-five"), paper, units)
    marks = [(g.name, m) for g in drawn.scene.walk() if isinstance(g, Group)
             for m in walk(g.children) if isinstance(m, Text)]  # fmt: skip
    numerals = [mark.bbox() for name, mark in marks if name.startswith("stride-")]
    counts = [mark.bbox() for name, mark in marks if name.startswith("count-")]
    assert numerals
    assert counts
    for one in numerals:
        for other in counts:
            level = one.top < other.bottom and other.top < one.bottom
            assert not level or max(one.left - other.right, other.left - one.right) > 0.5


def test_brackets_of_a_length_lie_on_no_track() -> None:
    """They reach below the line that figures stand on."""
    made = made_plan(56)
    drawn = draw_side_one(made, SHEETS["A3"], "both")
    assert [found for found in overlaps(drawn.scene) if found.startswith("count")] == []
