"""The lesson card: one exercise on two sides of a sheet, as PDF."""

from __future__ import annotations

import io

from msgspec.structs import replace

from diagram.drawing.sheet import Drawn
from diagram.drawing.side_one import draw_side_one, sheet_of
from diagram.planning import Plan
from diagram.scene import Scene
from diagram.units import Units
from diagram.writers.files import legal_text


def card_sides(
    plan: Plan,
    paper: str = "A4",
    units: Units = "feet",
    sides: int = 2,
    drawn: Drawn | None = None,
) -> tuple[Scene, ...]:
    """The sides of the card as drawings of a whole sheet each: two, or all on one.

    `drawn` is the first of two sides where it was drawn before, with the same paper and units.

    Raises ValueError for a paper not known here, when the arena fits at no scale, and when one
    side does not hold it.
    """
    from diagram.sections.one_side import draw_one_side
    from diagram.sections.side_two import draw_side_two

    sheet = sheet_of(paper)
    if sides == 1:
        return (draw_one_side(plan, sheet, units),)
    drawn = drawn or draw_side_one(plan, sheet, units)
    told = replace(plan, findings=(*plan.findings, *drawn.findings))
    return (drawn.scene, *draw_side_two(told, sheet, units))


def card_bytes(
    plan: Plan,
    *,
    paper: str = "A4",
    units: Units = "feet",
    sides: int = 2,
    drawn: Drawn | None = None,
) -> bytes:
    """The card as a PDF that is the same bytes for the same plan. Raises as `card_sides`."""
    from diagram.writers.pdf import draw_scene, open_canvas

    scenes = card_sides(plan, paper, units, sides, drawn)
    out = io.BytesIO()
    canvas = open_canvas(out, (scenes[0].width, scenes[0].height), plan.title)
    names = ("To ride and to teach",) if sides == 1 else ("To ride", "To teach")
    canvas.setSubject(legal_text(plan.definition.purpose))
    for n, side in enumerate(scenes):
        draw_scene(canvas, side, 0.0, side.height)
        key = f"side-{n + 1}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(names[min(n, 1)], key, 0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
