"""The lesson card: one exercise on two sides of a sheet, as PDF."""

from __future__ import annotations

import io
from dataclasses import replace

from diagram.drawing.side_one import draw_side_one, sheet_of
from diagram.planning import Plan
from diagram.scene import Scene
from diagram.units import Units
from diagram.writers.files import legal_text


def card_sides(plan: Plan, paper: str = "A4", units: Units = "feet") -> tuple[Scene, ...]:
    """The sides of the card as drawings of a whole sheet each.

    Raises ValueError for a paper not known here, and when the arena fits at no scale.
    """
    from diagram.sections.side_two import draw_side_two

    sheet = sheet_of(paper)
    drawn = draw_side_one(plan, sheet, units)
    told = replace(plan, findings=(*plan.findings, *drawn.findings))
    return (drawn.scene, *draw_side_two(told, sheet, units))


def card_bytes(plan: Plan, *, paper: str = "A4", units: Units = "feet") -> bytes:
    """The card as a PDF that is the same bytes for the same plan. Raises as `card_sides`."""
    from diagram.writers.pdf import draw_scene, open_canvas

    sides = card_sides(plan, paper, units)
    out = io.BytesIO()
    canvas = open_canvas(out, (sides[0].width, sides[0].height), plan.definition.title)
    canvas.setSubject(legal_text(plan.definition.purpose))
    for n, side in enumerate(sides):
        draw_scene(canvas, side, 0.0, side.height)
        key = f"side-{n + 1}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry("To ride" if n == 0 else "To teach", key, 0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
