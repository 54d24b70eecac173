"""The lesson card: one exercise on a sheet or two, to be printed and taken into the ring."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from diagram.drawing.extent import extent_of
from diagram.drawing.frame import largest_scale
from diagram.drawing.sheet import Drawn, draw_plan, room_for
from diagram.planning import Plan
from diagram.sections.page import FOOT_HEIGHT, Page, page_of
from diagram.typeface import FACE_NAMES
from diagram.units import Units
from diagram.writers.files import legal_text
from diagram.writers.foot import CountedFoot
from diagram.writers.pdf import POINTS_PER_MM, draw_scene, font_name, mark_document, open_canvas

if TYPE_CHECKING:
    pass

AFTER_DRAWING = ("elements", "places", "advice", "cautions", "findings")
"""Sections in the order in which they are printed."""

DRAWING_ALONE = 0.4
"""If what stands above the drawing takes more of the page than this, the drawing gets its own."""

START_OF_TABLE = 45.0
"""Millimetres that must be left under the drawing for the table to begin there."""


def card_bytes(plan: Plan, *, paper: str = "A4", units: Units = "feet") -> bytes:
    """The card as a PDF that is the same bytes for the same plan.

    Held upright or on its side, whichever gives the larger drawing. Raises ValueError for a
    paper that is not in `diagram.sections.page.PAPERS`, and when the arena fits at no scale.
    """
    from diagram.sections import section

    # The faces must be known by name before any section sets a word in one.
    for weight in FACE_NAMES:
        font_name(weight)
    page, room = _roomier(plan, paper, units)
    own_page = room == page.inner_height
    drawn = draw_plan(plan, page.inner_width, room, units)
    plan = replace(plan, findings=(*plan.findings, *drawn.findings))
    story = section("heading")(plan, page)
    story += _drawing(drawn, own_page)
    for name in AFTER_DRAWING:
        story += section(name)(plan, page)
    return _set(story, plan, page, drawn)


def _roomier(plan: Plan, paper: str, units: Units) -> tuple[Page, float]:
    """The page held so that the drawing is larger, and millimetres of height for the drawing."""
    choices = []
    for landscape in (False, True):
        page = page_of(paper, landscape, units)
        room = _room_under_heading(plan, page)
        scale = largest_scale(extent_of(plan).size, room_for(plan, page.inner_width, room))
        choices.append((scale or float("inf"), landscape, page, room))
    _, _, page, room = min(choices, key=lambda choice: choice[:2])
    return page, room


def _room_under_heading(plan: Plan, page: Page) -> float:
    from diagram.sections import section

    width = page.inner_width * POINTS_PER_MM
    taken = sum(
        block.getSpaceBefore() * (n > 0) + block.wrap(width, 1e6)[1] + block.getSpaceAfter()
        for n, block in enumerate(section("heading")(plan, page))
    )
    room = page.inner_height - taken / POINTS_PER_MM - 0.5
    return room if taken / POINTS_PER_MM < DRAWING_ALONE * page.inner_height else page.inner_height


def _drawing(drawn: Drawn, own_page: bool) -> list[Any]:
    from reportlab.platypus import CondPageBreak, PageBreak

    from diagram.sections.drawing import flowables

    before = [PageBreak()] if own_page else []
    return [*before, *flowables(drawn, draw_scene), CondPageBreak(START_OF_TABLE * POINTS_PER_MM)]


def _set(story: list[Any], plan: Plan, page: Page, drawn: Drawn) -> bytes:
    """The flowables on as many pages as they need, each with its foot."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    out = io.BytesIO()
    title = plan.definition.title
    canvas = open_canvas(out, (page.width_mm, page.height_mm), title)
    k = POINTS_PER_MM
    edge = page.margin * k
    frame = Frame(
        edge, edge + FOOT_HEIGHT * k, page.inner_width * k, page.inner_height * k,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip
    said = plan.definition
    title = f"{said.title} · Scenario: {said.scenario}" if said.scenario else said.title
    foot = CountedFoot(title, page, f"scale 1:{drawn.frame.denominator:g}")
    template = PageTemplate("card", [frame], onPage=foot.draw)
    size = (page.width_mm * k, page.height_mm * k)
    document = BaseDocTemplate(out, pagesize=size, pageTemplates=[template])
    # The number of pages is not known before the last one, so the document stays open.
    document._doSave = 0
    document.build(story, canvasmaker=lambda *_, **__: canvas)
    mark_document(canvas, title)
    canvas.setSubject(legal_text(plan.definition.purpose))
    foot.close(canvas, document.page)
    canvas.showOutline()
    canvas.save()
    return out.getvalue()
