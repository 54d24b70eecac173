"""Ticks, dots, cones and the letters of findings, where they should stand on the paper."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from diagram.drawing.strides import CONE_OFF, DOT, TICK_PEN
from diagram.pipeline import drawing_of, plan, plan_text
from diagram.scene import Disc, Fill, Group, Item, Stroke, Text

ROOT = Path(__file__).parents[2]
EXERCISES = sorted((ROOT / "exercises").glob("*-*.yaml"))
HEAD = """\
tapeline: 1
title: T
purpose: P
level: 3'
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [8 m, 9 m], facing: 0°, ground line: both sides}
  hazel: {kind: vertical, placed: DISTANCE beyond birch}
ride:
  - start: canter, left lead
  - jump: birch
    purpose: Said.
  - line: SAID
  - jump: hazel
    purpose: Said.
"""


def _text(distance: str, said: str) -> str:
    return HEAD.replace("DISTANCE", distance).replace("SAID", said)


def _group(items: tuple[Item, ...], name: str) -> Group:
    for item in items:
        if isinstance(item, Group):
            if item.name == name:
                return item
            try:
                return _group(item.children, name)
            except KeyError:
                continue
    raise KeyError(name)


def _ticks(group: Group) -> list[tuple[float, float]]:
    return [
        ((m.points[0][0] + m.points[1][0]) / 2, (m.points[0][1] + m.points[1][1]) / 2)
        for m in group.children
        if isinstance(m, Stroke) and m.pen == TICK_PEN
    ]


def test_five_strides_are_four_ticks_between_two_dots() -> None:
    """The fifth ends where the horse takes off. 12 ft apart, to scale."""
    drawn = drawing_of(plan_text(_text("72 ft", "5 strides")))
    group = _group(drawn.scene.items, "strides-1")
    ticks = _ticks(group)
    dots = [m.centre for m in group.children if isinstance(m, Disc) and m.radius == DOT]
    assert (len(ticks), len(dots)) == (4, 2)
    stride = drawn.frame.mm(12 * 0.3048)
    places = [dots[0], *ticks, dots[1]]
    for a, b in pairwise(places):
        assert math.dist(a, b) == pytest.approx(stride, abs=1e-6)


def test_a_short_line_has_every_number_and_a_long_one_every_fifth() -> None:
    short = drawing_of(plan_text(_text("72 ft", "5 strides")))
    names = {label.name for label in short.labels if label.name.startswith("stride-1-")}
    assert names == {f"stride-1-0-{n}" for n in (1, 2, 3, 4, 5)}
    long = drawing_of(plan_text(_text("132 ft", "10 strides")))
    names = {label.name for label in long.labels if label.name.startswith("stride-1-")}
    assert names == {"stride-1-0-5", "stride-1-0-10"}


def test_cones_stand_where_the_walk_begins_and_ends() -> None:
    made = plan_text(_text("132 ft", "10 strides, walk 5 steps in the middle"))
    drawn = drawing_of(made)
    crossed = made.legs[1].ridden.in_and_out
    assert crossed is not None
    cones = [m for m in _group(drawn.scene.items, "strides-1").children if isinstance(m, Fill)]
    assert len(cones) == 4
    for s in (crossed.begin_m, crossed.end_m):
        x, y = drawn.frame.at(made.legs[1].curve.pose_at(s).point)
        sides = [c.bbox() for c in cones if c.bbox().left < x < c.bbox().right]
        middles = sorted((box.top + box.bottom) / 2 - y for box in sides)
        assert middles == pytest.approx([-CONE_OFF, CONE_OFF], abs=1e-6)


@pytest.mark.parametrize("file", EXERCISES, ids=lambda file: file.stem)
def test_numbers_lie_on_nothing(file: Path) -> None:
    drawn = drawing_of(plan(file))
    numbers = [label for label in drawn.labels if label.name.startswith("stride-")]
    assert numbers or "grid" in file.stem
    assert all(label.place.covers == "" for label in numbers)


def test_every_finding_with_a_place_is_marked_there() -> None:
    made = plan_text(_text("68 ft", "5 strides"))
    drawn = drawing_of(made)
    for finding in made.findings:
        facts = dict(finding.facts)
        [label] = [one for one in drawn.labels if one.name == f"finding-{facts['mark']}"]
        # Within a metre of each other findings share one letter.
        assert math.dist(label.place.target, drawn.frame.at(facts["at_m"])) < drawn.frame.mm(1.0)
        texts = [item.text for item in label.marks.children if isinstance(item, Text)]
        assert texts == [facts["mark"]]
    [distance] = [f for f in made.findings if f.rule == "distance-off"]
    # The middle of the line: 8 m and half of 68 ft along, 9 m up.
    assert dict(distance.facts)["at_m"] == pytest.approx((8 + 34 * 0.3048, 9.0), abs=0.001)


def test_what_stops_is_filled_and_a_note_is_thin() -> None:
    text = _text("72 ft", "5 strides").replace("jump: hazel", "jump: hazel, angled left 50°")
    made = plan_text(text.replace("purpose: Said.\n  - line", "watch: Said.\n  - line"))
    drawn = drawing_of(made)
    for finding in made.findings:
        group = _group(drawn.scene.items, f"finding-{dict(finding.facts)['mark']}")
        [triangle] = [item for item in group.children if isinstance(item, Fill)]
        here = [f for f in made.findings if dict(f.facts)["mark"] == dict(finding.facts)["mark"]]
        stops = any(str(f.severity) == "stop" for f in here)
        assert (triangle.colour == "#000000") == stops
    assert {str(finding.severity) for finding in made.findings} >= {"stop", "note"}
