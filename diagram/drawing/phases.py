"""The whole ride, and under it a small drawing of each phase."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from diagram.drawing.extent import extent_of
from diagram.drawing.frame import largest_scale
from diagram.drawing.furniture import TITLE_HEIGHT, caution_height
from diagram.drawing.sheet import Drawn, better_way_round, draw_plan, room_for
from diagram.drawing.view import View
from diagram.planning import Plan
from diagram.scene import Group, Scene, moved
from diagram.units import Units

GAP = 2.0
"""Millimetres between the drawings."""
MOST_IN_A_ROW = 4
SHARES = (0.25, 0.3, 0.35, 0.4, 0.45, 0.5)
"""Of the height, what the small drawings together may take."""
WHOLE_COUNTS = 2.0
"""How much more the scale of the whole counts than that of the small drawings."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Millimetres of the sheet, how many small drawings in a row, and how high each row is."""

    width: float
    height: float
    in_row: int
    low: float
    cost: float


def arrange(plan: Plan, sheets: Iterable[tuple[float, float]]) -> Arrangement:
    """The arrangement whose drawings come out largest. Raises ValueError when none fits."""
    size, count = extent_of(plan).size, len(plan.course.phases)
    found: list[Arrangement] = []
    for width, height in sheets:
        for in_row in range(1, min(count, MOST_IN_A_ROW) + 1):
            rows = -(-count // in_row)
            each = (width - GAP * (in_row - 1)) / in_row
            for share in SHARES:
                low = height * share / rows
                rest = height - rows * (low + GAP) - TITLE_HEIGHT - caution_height(width)
                whole = largest_scale(size, room_for(plan, width, rest))
                small = largest_scale(size, room_for(plan, each, low, small=True))
                if whole is not None and small is not None:
                    cost = WHOLE_COUNTS * whole + small
                    found.append(Arrangement(width, height, in_row, low, cost))
    if not found:
        raise ValueError("the whole ride and its phases do not fit on this paper together")
    return min(found, key=lambda arrangement: arrangement.cost)


def draw_phases(plan: Plan, short: float, long: float, units: Units = "feet") -> Drawn:
    """One drawing, titled, that holds the whole and each phase; the whole alone if there is one.

    `short` and `long` are the sides of the sheet in mm, which is held whichever way draws larger.
    Raises ValueError when that does not fit.
    """
    count = len(plan.course.phases)
    sheets = ((short, long), (long, short))
    if count < 2:
        return draw_plan(plan, *better_way_round(plan, short, long), units, titled=True)
    chosen = arrange(plan, sheets)
    width, height, in_row, low = chosen.width, chosen.height, chosen.in_row, chosen.low
    rows = -(-count // in_row)
    each = (width - GAP * (in_row - 1)) / in_row
    whole = draw_plan(plan, width, height - rows * (low + GAP), units, titled=True)
    small = [_small(plan, n, each, low, units) for n in range(count)]
    groups = []
    for n, drawn in enumerate(small):
        x = (n % in_row) * (each + GAP)
        y = whole.scene.height + GAP + (n // in_row) * (low + GAP)
        items = tuple(moved(item, x, y) for item in drawn.scene.items)
        groups.append(Group(f"phase-{n + 1}", items, f"phase {n + 1}: {plan.course.phases[n]}"))
    scene = whole.scene
    tall = scene.height + rows * (low + GAP)
    both = Scene(
        width, tall, (*scene.items, *groups), scene.title, scene.description, scene.language,
        scene.scale_denominator,
    )  # fmt: skip
    unplaced = whole.unplaced + tuple(label for drawn in small for label in drawn.unplaced)
    return Drawn(both, whole.frame, whole.labels, unplaced)


def _small(plan: Plan, phase: int, width: float, height: float, units: Units) -> Drawn:
    return draw_plan(plan, width, height, units, view=View(phase=phase, small=True))
