"""A card asks for no lead that the file does not ask for and the turn that follows is against."""

from __future__ import annotations

import pytest

from diagram.drawing.side_one import draw_side_one
from diagram.pipeline import plan_text
from diagram.scene import Group, Text, walk
from diagram.sections.teaching import elements_of

FILE = """\
tapeline: 1
title: T
purpose: P
level: 2'6"
arena: 40 x 80 m
fences:
  birch: {{kind: vertical, at: [30 m, 10 m], facing: 0°}}
  hazel: {{kind: vertical, at: [50 m, 30 m], facing: 180°}}
  rowan: {{kind: vertical, at: [20 m, 30 m], facing: 180°}}
ride:
  - start: canter, left lead
  - jump: birch
  - turn: left
  - jump: hazel
  - line: 7 strides
  - jump: rowan{land}
  - turn: right{more}
  - jump: birch
  - finish: straight on, walk
"""


@pytest.mark.parametrize(
    ("land", "more", "told", "words"),
    [
        ("", "", None, "about 18 strides"),
        (", land right", "", "right", "about 18 strides, right lead"),
        (", land left", "", "left", "about 18 strides, left lead"),
        ("", ", simple change", "left", "about 18 strides, simple change, right lead"),
        ("", ", counter-canter", "left", "about 18 strides, counter-canter, left lead"),
    ],
)
def test_a_square_stands_where_a_lead_is_asked_for(
    land: str, more: str, told: str | None, words: str
) -> None:
    """After a left turn and a line the horse is on the left lead, and the turn after the third
    fence goes right: which lead it lands on there only the file can say."""
    made = plan_text(FILE.format(land=land, more=more))
    assert [leg.lead for leg in made.legs[:3]] == ["left"] * 3
    assert made.legs[3].lead_told == told
    drawn = draw_side_one(made)
    groups = [item for item in drawn.scene.walk() if isinstance(item, Group)]
    squares = [group for group in groups if group.name.startswith("lead-")]
    letters = [m.text for group in squares for m in walk(group.children) if isinstance(m, Text)]
    assert letters[:3] == ["L", "L", *([told[0].upper()] if told else letters[2:3])]
    assert len(squares) == 4 - (told is None)
    assert elements_of(made, "feet")[3].how == f"turn right, {words}"
