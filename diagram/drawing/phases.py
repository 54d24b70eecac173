"""A drawing for each part of the ride, as large as one sheet holds them all."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.furniture import NO_SUBSTITUTE, scale_line
from diagram.drawing.parts import parts_of
from diagram.drawing.ride_words import ride_rows
from diagram.drawing.sheet import Drawn, description, draw_plan, fitted
from diagram.drawing.side_one import FOOT_LINE, PaperSheet, draw_head, draw_side_one
from diagram.drawing.view import View
from diagram.planning import Plan
from diagram.scene import Group, Item, Scene, Text, moved
from diagram.style import LOOKED_UP
from diagram.units import Units

GAP = 6.0
"""Millimetres between the drawings."""


class PhaseGrid(Struct, frozen=True):
    """A sheet as it is held, how many drawings stand beside each other, the room of each."""

    sheet: PaperSheet
    in_row: int
    width: float
    height: float
    denominator: float


def arrange(plan: Plan, sheet: PaperSheet, units: Units) -> PhaseGrid:
    """The arrangement whose drawings come out largest. Raises ValueError when none fits."""
    count = len(parts_of(plan).names)
    found: list[PhaseGrid] = []
    for held in (sheet, replace(sheet, width=sheet.height, height=sheet.width)):
        top = draw_head(plan, held, units)[1]
        room = held.height - FOOT_LINE - LOOKED_UP - 1.2 - top
        for in_row in range(1, min(count, 3) + 1):
            rows = -(-count // in_row)
            width = (held.inner - GAP * (in_row - 1)) / in_row
            words = max(ride_rows(plan, width, n).height for n in range(count))
            height = room / rows - words - 2.0
            try:
                fit = fitted(plan, width, height, _view(0), held.factor)
            except ValueError:
                continue
            found.append(PhaseGrid(held, in_row, width, height + words + 2.0, fit.denominator))
    if not found:
        raise ValueError("the parts of the ride do not fit on this paper together")
    return min(found, key=lambda one: (one.denominator, one.sheet.height, one.in_row))


def _view(part: int) -> View:
    return View(phase=part, turned=None)


def draw_phases(plan: Plan, sheet: PaperSheet, units: Units = "feet") -> Drawn:
    """One sheet that holds a drawing of each part; side 1 where there is only one.

    Raises ValueError when that does not fit.
    """
    count = len(parts_of(plan).names)
    if count < 2:
        return draw_side_one(plan, sheet, units)
    chosen = arrange(plan, sheet, units)
    held = chosen.sheet
    head, top = draw_head(plan, held, units)
    items: list[Item] = [head]
    parts: list[Drawn] = []
    for n in range(count):
        x = held.margin + (n % chosen.in_row) * (chosen.width + GAP)
        y = top + (n // chosen.in_row) * chosen.height
        words = ride_rows(plan, chosen.width, n)
        fit = fitted(plan, chosen.width, chosen.height - words.height - 2.0, _view(n), held.factor)
        drawn = draw_plan(plan, chosen.width, fit.height, units, view=_view(n), fit=fit)
        marks = tuple(moved(item, x, y) for item in drawn.scene.items)
        below = words.marks(x, y + drawn.scene.height + 1.0)
        items.append(Group(f"phase-{n + 1}", (*marks, below), f"part {n + 1} of the ride"))
        parts.append(drawn)
    frame = parts[0].frame
    base = held.height - FOOT_LINE
    items.append(Text((held.margin, base), NO_SUBSTITUTE, LOOKED_UP))
    stated = frame.denominator / held.factor
    items.append(scale_line(frame, held.width - held.margin, base, units, stated))
    scene = Scene(
        held.width, held.height, tuple(items), plan.title, description(plan), "en",
        frame.denominator,
    )  # fmt: skip
    labels = tuple(label for drawn in parts for label in drawn.labels)
    unplaced = tuple(label for drawn in parts for label in drawn.unplaced)
    left_out = tuple(dict.fromkeys(name for drawn in parts for name in drawn.left_out))
    return Drawn(scene.enlarged(held.factor), frame, labels, unplaced, left_out)
