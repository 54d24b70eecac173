"""A drawing that stands alone on a screen: title and purpose over it, the ride and a caution under.

As wide as it is told to be and as high as it needs: for a phone held upright, or a page.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from diagram.drawing.furniture import NO_SUBSTITUTE, cut, scale_line
from diagram.drawing.ride_words import ride_rows
from diagram.drawing.sheet import Drawn, description, draw_plan
from diagram.drawing.side_one import head_facts
from diagram.drawing.view import WHOLE, View
from diagram.planning import Plan
from diagram.scene import Group, Item, Scene, Text, moved
from diagram.style import BOARD, FLAG, LOOKED_UP, SHEET_TITLE, text_width
from diagram.typesetting import broken, line_items, runs
from diagram.units import Units

EDGE = 3.0
LINE = 1.22


def draw_alone(plan: Plan, width: float, units: Units = "feet", view: View = WHOLE) -> Drawn:
    """The drawing, framed by its words. Raises ValueError when the arena fits at no scale."""
    inner = width - 2 * EDGE
    head, y = _head(plan, inner, units)
    drawn = draw_plan(plan, inner, math.inf, units, view=view)
    items: list[Item] = [*head, *(moved(item, EDGE, y) for item in drawn.scene.items)]
    top = y + drawn.scene.height + 2.0
    ride = ride_rows(plan, inner)
    items.append(ride.marks(EDGE, top))
    y_foot = top + ride.height + LOOKED_UP * LINE
    items.append(scale_line(drawn.frame, width - EDGE, y_foot, units, drawn.frame.denominator))
    tall = y_foot
    for line in broken(runs(NO_SUBSTITUTE), inner, LOOKED_UP):
        tall += LOOKED_UP * LINE
        items += line_items(line, EDGE, tall, LOOKED_UP)
    if drawn.unplaced:
        said = "No room for: " + ", ".join(label.says for label in drawn.unplaced) + "."
        for line in broken(runs(said), inner, LOOKED_UP):
            tall += LOOKED_UP * LINE
            items += line_items(line, EDGE, tall, LOOKED_UP)
    scene = Scene(
        width, tall + EDGE, tuple(items), plan.definition.title, description(plan), "en",
        drawn.frame.denominator, (drawn.frame.left + EDGE, drawn.frame.bottom + y),
        drawn.frame.turned,
    )  # fmt: skip
    frame = replace(drawn.frame, left=drawn.frame.left + EDGE, bottom=drawn.frame.bottom + y)
    return replace(drawn, scene=scene, frame=frame)


def _head(plan: Plan, inner: float, units: Units) -> tuple[list[Item], float]:
    """Title, the facts a rider wants first, the purpose; and where they end."""
    y = EDGE + SHEET_TITLE
    title = cut(plan.definition.title, inner, SHEET_TITLE, "bold")
    items: list[Item] = [Text((EDGE, y), title, SHEET_TITLE, "bold")]
    y += BOARD * 1.5
    x = EDGE
    for text, weight in head_facts(plan, units):
        if text.strip():
            items.append(Text((x, y), text, BOARD, weight))
        x += text_width(text, BOARD, weight)
    for line in broken(runs(plan.definition.purpose), inner, FLAG):
        y += FLAG * LINE
        items += line_items(line, EDGE, y, FLAG)
    return [Group("head", tuple(items))], y + 3.0
