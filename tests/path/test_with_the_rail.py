"""A ride that is to finish with the rail comes to it, wherever that is no detour."""

from __future__ import annotations

import math

import pytest

from diagram.drawing.ride_words import away_words
from diagram.pipeline import plan_text

FILE = """\
tapeline: 1
title: T
purpose: P
level: 2'6"
arena: {arena}
fences:
  birch: {{kind: vertical, at: {at}, facing: {facing}}}
ride:
  - start: canter, left lead
  - jump: birch, land {land}
  - finish: {finish}
"""


@pytest.mark.parametrize(
    ("facing", "land", "words"),
    [("210°", "right", "right with the rail"), ("150°", "left", "left with the rail")],
)
def test_off_a_diagonal_it_turns_to_the_rail_that_comes(facing: str, land: str, words: str) -> None:
    """From the middle of 30 x 60 m, 30 degrees off the long side, there are 30 m to the rail."""
    said = {"arena": "30 x 60 m", "at": "[30 m, 15 m]", "facing": facing, "land": land}
    leg = plan_text(FILE.format(**said, finish="with the rail, walk")).legs[-1]
    assert away_words(leg) == words
    end = leg.curve.end
    # At the end of a short side or a long one, along it, on the track: 4 m from the rail at most.
    to_rail = min(end.x, 60 - end.x, end.y, 30 - end.y)
    assert to_rail < 4.0
    assert min(abs(math.sin(2 * end.heading)), 1.0) < 0.2


def test_where_it_would_be_a_detour_it_goes_straight_on() -> None:
    """Across a school of 20 m there are 10 m from the middle to the rail: no turn of canter."""
    said = {"arena": "20 x 60 m", "at": "[30 m, 10 m]", "facing": "270°", "land": "left"}
    leg = plan_text(FILE.format(**said, finish="with the rail, walk")).legs[-1]
    assert away_words(leg) == "straight on"


@pytest.mark.parametrize("x", [58, 60])
def test_it_ends_with_six_metres_free_before_a_fence_that_stands_there(x: int) -> None:
    """A usual way out would be 18.3 m long: five strides of 12 ft."""
    said = {"arena": "40 x 80 m", "at": "[38 m, 20 m]", "facing": "0°", "land": "left"}
    text = FILE.format(**said, finish="straight on, walk")
    hazel = f"  hazel: {{kind: vertical, at: [{x} m, 20 m], facing: 0°}}\n"
    leg = plan_text(text.replace("ride:", hazel + "ride:")).legs[-1]
    assert leg.curve.end.y == pytest.approx(20)
    # A stride of the search is half a metre, and the poles are not a line.
    assert x - leg.curve.end.x > 5.5
