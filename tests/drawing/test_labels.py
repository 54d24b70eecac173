"""Where labels go and why; lines broken where they pass under; arrows where one must choose."""

from __future__ import annotations

import re

import pytest

from diagram.diagnostics import RejectedError
from diagram.drawing import View, draw_plan
from diagram.drawing.crossings import crossings_on_paper
from diagram.drawing.crowd import PAGE, Crowd
from diagram.drawing.dimensions import dimension_candidates
from diagram.drawing.lanes import lanes
from diagram.drawing.sheet import Drawn
from diagram.drawing.why import why_text
from diagram.pipeline import plan_text
from diagram.scene import Box, Group, Stroke, Text, walk

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


def test_a_fence_jumped_from_both_sides_has_a_number_on_each() -> None:
    """Birch is 1 and 4: 1 before it, 4 behind it, as seen from where it is first jumped."""
    found = drawn(LINE)
    plan = plan_text(LINE.replace(" LABEL", ""))
    middle = found.frame.at(plan.fence("birch").pose.point)[0]
    places = {label.name: label.place.centre[0] for label in found.labels}
    assert places["number-1"] < middle < places["number-4"]


def test_a_fence_jumped_twice_from_one_side_carries_both_numbers_together() -> None:
    text = LINE.replace("  - jump: hazel from behind\n  - line: 4 strides\n", "").replace(
        "jump: birch from behind", "jump: birch"
    )
    assert words(drawn(text), "number-1-3") == ["1", "3"]


def test_one_distance_ridden_both_ways_is_said_once() -> None:
    found = drawn(LINE)
    names = [label.name for label in found.labels if label.name.startswith("leg-")]
    assert names == ["leg-1"]
    assert words(found, "label-leg-1")[0] == "4 strides"
    assert words(found, "label-leg-1")[-1] == "each way"


def test_a_dimension_line_runs_from_base_to_base_and_is_broken_round_its_figure() -> None:
    found = drawn(LINE)
    plan = plan_text(LINE.replace(" LABEL", ""))
    leg = plan.legs[1]
    label = next(label for label in found.labels if label.name == "leg-1")
    level = [
        mark for mark in walk(label.marks.children)
        if isinstance(mark, Stroke) and mark.points[0][1] == mark.points[1][1]
    ]  # fmt: skip
    xs = sorted(x for mark in level for x, _ in mark.points)
    assert xs[0] == pytest.approx(found.frame.at(leg.curve.start.point)[0])
    assert xs[-1] == pytest.approx(found.frame.at(leg.curve.end.point)[0])
    assert xs[1] < label.place.box.left
    assert xs[2] > label.place.box.right


def test_arrows_go_outside_when_they_do_not_fit() -> None:
    plan = plan_text(LINE.replace(" LABEL", ""))
    frame = drawn(LINE).frame
    leg = plan.legs[1]
    long = frame.mm(leg.track_m)
    inside = next(dimension_candidates(leg, frame, (10.0, 6.0)))[1]
    tight = next(dimension_candidates(leg, frame, (long - 2.5, 6.0)))[1]
    over = next(dimension_candidates(leg, frame, (long + 5.0, 6.0)))
    assert not inside.outside
    assert tight.outside
    # A figure wider than the distance stands beyond its line, not in it.
    assert abs(over[0].centre[1] - over[1].a[1]) > 3.0


def test_a_label_moved_by_hand_goes_where_it_is_told() -> None:
    plain, moved = drawn(LINE), drawn(LINE.replace(" LABEL", ', label: "12 mm right, 3 mm up"'))
    first = next(x.place.tried[0].box for x in plain.labels if x.name == "fence-birch")
    there = next(x.place.box for x in moved.labels if x.name == "fence-birch")
    assert there.left == pytest.approx(first.left + 12)
    assert there.top == pytest.approx(first.top - 3)


def test_a_label_moved_onto_something_is_put_there_and_told_of() -> None:
    onto = drawn(LINE.replace("jump: hazel\n", "jump: hazel\n    label: 1 mm down\n"))
    assert onto.findings == ()
    far = drawn(LINE.replace(" LABEL", ", label: 150 mm left"))
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
    assert len(titles) == sum(min(len(label.place.tried), 40) for label in found.labels)
    assert re.search(r"^number-1: \d+ places looked at", why_text(found.labels, ()), re.MULTILINE)


def test_what_has_no_room_is_listed_and_found() -> None:
    """A name that is wider than the paper."""
    name = "the long grey wall beside the gate at the far end of it"
    found = drawn(LINE.replace("hazel", name), width=82, height=120)
    assert found.unplaced
    for label in found.unplaced:
        assert any(label.says in finding.message for finding in found.findings)
    assert "No room on the drawing for:" in " ".join(words(found, "leftovers"))


def test_a_circle_that_crosses_itself_is_broken_at_the_crossing() -> None:
    text = LINE.replace("  - turn: left\n", "  - circle: right, 15 m\n  - turn: left\n")
    plan = plan_text(text.replace(" LABEL", ""))
    found = drawn(text)
    overs = crossings_on_paper(plan.legs, lanes(plan, found.frame), found.frame)
    own = [over for over in overs if over.upper == over.lower]
    assert own
    leg = group(found, f"leg-{own[0].upper}")
    whites = [m for m in leg.children if isinstance(m, Stroke) and m.pen.width == 1.9]
    whites = [m for m in whites if m.pen.colour == "#ffffff"]
    parts = [m for m in leg.children if isinstance(m, Stroke) and m.pen.width == 0.7]
    assert len(parts) >= 2
    # A break comes after the earlier part, or it would hide nothing.
    assert max(map(leg.children.index, whites)) > leg.children.index(parts[0])


def test_legs_that_meet_at_a_fence_do_not_count_as_crossing() -> None:
    plan = plan_text(LINE.split("  - turn: left")[0].replace(" LABEL", ""))
    found = drawn(LINE.split("  - turn: left")[0])
    assert crossings_on_paper(plan.legs, lanes(plan, found.frame), found.frame) == ()


def test_the_crowd_sees_lines_that_only_cut_a_corner() -> None:
    crowd = Crowd(Box(0, 0, 100, 100))
    crowd.add_line([(0, 11.5), (11.5, 0)], "track")
    assert crowd.covered([Box(5, 5, 10, 10), Box(5.8, 5.8, 10, 10), Box(1, 1, 3, 3)]) == [
        "track", "", "",
    ]  # fmt: skip
    assert crowd.covered([Box(95, 5, 101, 10)]) == [PAGE]
    assert crowd.line_covered((0, 0), (5.6, 5.6), 0.1, frozenset()) == ""
    assert crowd.line_covered((0, 0), (5.7, 5.7), 0.1, frozenset()) == "track"
    assert crowd.line_covered((0, 0), (9, 9), 0.1, frozenset(("track",))) == ""
