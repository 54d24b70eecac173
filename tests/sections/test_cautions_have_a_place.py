"""A caution on the card says where: the fence it names, or the way from fence to fence."""

from __future__ import annotations

import re

import pytest
from samples import SHIPPED

from diagram.drawing.leaf_page import leaf_pages
from diagram.pipeline import plan, plan_text, plans, setting_of
from diagram.scene import Text
from diagram.sections.care import warnings_of
from diagram.sections.teaching import elements_of
from diagram.stakeout.crew import crew_for

TIGHT = """\
tapeline: 1
title: Tight
purpose: One.
arena: 40 x 25 m
horses: horse
level: 2'
fences:
  birch: {kind: vertical, at: [12 m, 8 m], facing: 20°, ground line: both sides}
  hazel: {kind: vertical, at: [30 m, 9 m], facing: 70°, ground line: both sides}
ride:
  - start: canter
  - jump: birch
  - turn: left
  - jump: hazel
  - finish: walk
"""


def test_a_caution_of_a_way_says_which() -> None:
    made = plan_text(TIGHT)
    names = {fence.name for fence in made.fences}
    own = [f.message.split(";")[0] for f in made.findings if f.rule == "turn-too-tight"]
    assert own
    assert not any(name in text for text in own for name in names)
    said = warnings_of(made)
    for text in own:
        assert any(f"1 birch to 2 hazel: {text}" in one for one in said)
    # One that names its fence says it once.
    assert not any(re.search(r"birch: .*\bbirch\b", text) for text in said)


def test_two_counts_have_the_length_of_their_own_line() -> None:
    """Seven and six are not ridden in one length: the bend is cut for six."""
    made = plan(next(f for f in SHIPPED if f.stem == "circle-of-four"))
    leg = next(leg for leg in made.legs if leg.others)
    assert leg.others[0].way.curve.length < leg.track_m - 1.0
    how = next(one.how for one in elements_of(made, "feet") if " or " in one.how)
    assert re.match(r"7 strides in 93', or 6 in \d+'(\d+\")?, bend left", how)


def test_the_leaf_of_a_ride_has_its_name() -> None:
    file = next(f for f in SHIPPED if len(plans(f)) > 1)
    titles = []
    for made in plans(file):
        page = leaf_pages(setting_of(made, crew_for("feet")), 277.0, 190.0)[0]
        titles.append(next(t.text for t in page.walk() if isinstance(t, Text) and t.size > 6))
        assert made.name in page.title
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_no_place_is_said_twice(file) -> None:  # type: ignore[no-untyped-def]
    for text in warnings_of(plan(file)):
        head = text.partition(":")[0].lower()
        assert text.lower().count(f"{head}:") <= 1
