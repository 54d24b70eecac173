"""Where signs and words go and why, and what is said of what found no place."""

from __future__ import annotations

import re

import pytest

from diagram.diagnostics import RejectedError
from diagram.drawing import View, draw_plan
from diagram.drawing.crowd import PAGE, Crowd
from diagram.drawing.sheet import Drawn
from diagram.drawing.why import why_text
from diagram.pipeline import plan_text
from diagram.scene import Box, Group, Text, walk

LINE = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 40 x 80 m
fences:
  birch: {kind: vertical, at: [20 m, 20 m], facing: 0°, ground line: both sides LABEL}
  hazel: {kind: vertical, placed: 4 strides beyond birch, ground line: both sides}
ride:
  - jump: birch
  - line: 4 strides
  - jump: hazel
  - turn: left
  - jump: hazel from behind
  - line: 4 strides
  - jump: birch from behind
  - finish: circle left, walk
"""


def drawn(text: str, width: float = 277, height: float = 180, **view: bool) -> Drawn:
    return draw_plan(plan_text(text.replace(" LABEL", "")), width, height, view=View(**view))


def group(found: Drawn, name: str) -> Group:
    return next(m for m in found.scene.walk() if isinstance(m, Group) and m.name == name)


def words(found: Drawn, name: str) -> list[str]:
    return [mark.text for mark in walk(group(found, name).children) if isinstance(mark, Text)]


def test_a_disc_stands_before_its_fence_on_either_side() -> None:
    """Birch is 1 and 4: 1 before it, 4 behind it, as seen from where it is first jumped."""
    found = drawn(LINE)
    plan = plan_text(LINE.replace(" LABEL", ""))
    middle = found.frame.at(plan.fence("birch").pose.point)[0]
    places = {label.name: label.place.centre[0] for label in found.labels}
    assert places["number-1"] < middle < places["number-4"]


def test_one_count_for_a_line_ridden_both_ways() -> None:
    found = drawn(LINE)
    names = [
        label.name for label in found.labels
        if label.name.startswith("count-")
    ]  # fmt: skip
    assert names == ["count-1"]
    assert words(found, "count-1") == ["4 strides"]


def test_both_units_stand_beside_the_count_and_metres_alone_where_wanted() -> None:
    plan = plan_text(LINE.replace(" LABEL", ""))
    said = {}
    for units in ("feet", "metres", "both"):
        made = draw_plan(plan, 277, 180, units)  # type: ignore[arg-type]
        said[units] = " ".join(words(made, "count-1"))
    assert said["feet"] == "4 strides"
    assert re.fullmatch(r"4 strides \d+\.\d\d m", said["metres"])
    assert re.fullmatch(r"4 strides \d+'\d*\"? \(\d+\.\d\d m\)", said["both"])


def test_a_label_moved_by_hand_goes_where_it_is_told() -> None:
    plain, moved = drawn(LINE), drawn(LINE.replace(" LABEL", ', label: "12 mm right, 3 mm up"'))
    first = next(x.place.tried[0].box for x in plain.labels if x.name == "fence-birch")
    there = next(x.place.box for x in moved.labels if x.name == "fence-birch")
    assert there.left == pytest.approx(first.left + 12)
    assert there.top == pytest.approx(first.top - 3)


def test_a_label_moved_onto_something_is_put_there_and_told_of() -> None:
    far = drawn(LINE.replace(" LABEL", ", label: 190 mm left"))
    assert any("moved by hand" in found.message for found in far.findings)


@pytest.mark.parametrize("said", ["up", "5 right", "900 mm up", "5 mm up, 6 mm up"])
def test_a_nudge_that_makes_no_sense_is_refused(said: str) -> None:
    with pytest.raises(RejectedError) as caught:
        plan_text(LINE.replace(" LABEL", f', label: "{said}"'))
    assert caught.value.diagnostics[0].hint


def test_the_debug_layer_says_what_spoke_against_each_place() -> None:
    found = drawn(LINE, why=True)
    layer = group(found, "why")
    titles = [m.title for m in walk(layer.children) if isinstance(m, Group) and m.name == "tried"]
    assert any("free, taken" in title for title in titles)
    tried = [label.place.tried for label in found.labels] + [one.tried for one in found.unplaced]
    assert len(titles) == sum(min(len(places), 40) for places in tried)
    assert re.search(r"^number-1: \d+ places looked at", why_text(found.labels, ()), re.MULTILINE)


def test_what_has_no_room_is_found() -> None:
    """A name that is wider than the paper."""
    name = "the long grey wall beside the gate at the far end of it"
    found = drawn(LINE.replace("hazel", name), width=102, height=120)
    assert found.unplaced
    for label in found.unplaced:
        assert any(label.says in finding.message for finding in found.findings)


def test_the_crowd_sees_lines_that_only_cut_a_corner() -> None:
    crowd = Crowd(Box(0, 0, 100, 100))
    crowd.add_line([(0, 11.5), (11.5, 0)], "track")
    assert crowd.covered([Box(5, 5, 10, 10), Box(5.8, 5.8, 10, 10), Box(1, 1, 3, 3)]) == [
        "track", "", "",
    ]  # fmt: skip
    assert crowd.covered([Box(5, 5, 10, 10)], frozenset(("track",))) == [""]
    assert crowd.covered([Box(95, 5, 101, 10)]) == [PAGE]
    assert crowd.line_covered((0, 0), (5.6, 5.6), 0.1, frozenset()) == ""
    assert crowd.line_covered((0, 0), (5.7, 5.7), 0.1, frozenset()) == "track"
    assert crowd.line_covered((0, 0), (9, 9), 0.1, frozenset(("track",))) == ""


def test_what_was_tried_in_vain_is_forgotten() -> None:
    crowd = Crowd(Box(0, 0, 100, 100))
    crowd.add_box(Box(0, 0, 10, 10), "label")
    before = len(crowd)
    crowd.add_disc((50, 50), 5, "label")
    assert crowd.covered([Box(48, 48, 52, 52), Box(46, 46, 46.4, 46.4)]) == ["label", ""]
    crowd.cut_back(before)
    assert crowd.covered([Box(48, 48, 52, 52), Box(2, 2, 3, 3)]) == ["", "label"]
