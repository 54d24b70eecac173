"""Fences that stand there for other exercises of a lesson: hollow, so that none is ridden by
mistake and each is known again on the ground."""

from __future__ import annotations

from collections.abc import Iterator

from diagram.drawing.candidates import Ranked
from diagram.drawing.fences import corner_places, standard_marks
from diagram.drawing.frame import Frame
from diagram.drawing.labels import LabelLine, Wish, label_size, text_wish
from diagram.drawing.names import beyond_a_foot
from diagram.exercise.fence import PlacedFence
from diagram.planning import Plan
from diagram.scene import Fill, Group, Item
from diagram.style import NUMERAL, PAPER, SOFT_INK, Pen

HOLLOW = Pen(SOFT_INK, 0.3)
KEY = "stands for another exercise"
LEAST_DEEP_MM = 1.3
"""Of a hollow fence: less would be a line."""


def also_standing_marks(plan: Plan, frame: Frame) -> list[Group]:
    """The outline of each fence that is not ridden here, and where its standards are."""
    if not plan.standing:
        return []
    marks = [mark for placed in plan.standing for mark in _hollow(placed, frame)]
    return [Group("also-standing", tuple(marks), "Fences of other exercises")]


def also_standing_wishes(plan: Plan, frame: Frame) -> list[Wish]:
    """The name of each, but for one that a fence ridden here has as well."""
    own = {fence.name for fence in plan.fences}
    return [_name(placed, frame) for placed in plan.standing if placed.name not in own]


def also_standing_key() -> tuple[tuple[Item, ...], str]:
    """The mark beside the words that say what it is."""
    corners = ((-1.8, -0.65), (1.8, -0.65), (1.8, 0.65), (-1.8, 0.65))
    return (Fill(corners, PAPER, HOLLOW),), KEY


def _hollow(placed: PlacedFence, frame: Frame) -> Iterator[Item]:
    deep = max(placed.fence.depth_m, frame.metres(LEAST_DEEP_MM))
    yield Fill(corner_places(placed, deep, frame), PAPER, HOLLOW)
    for plane in placed.fence.parts.planes:
        yield from standard_marks(placed, plane, frame, HOLLOW)


def _name(placed: PlacedFence, frame: Frame) -> Wish:
    lines = (LabelLine(placed.name, NUMERAL, colour=SOFT_INK),)
    places = Ranked(lambda: beyond_a_foot(placed, frame, label_size(lines)))
    return text_wish(f"also-{placed.name.replace(' ', '-')}", lines, places)
