"""The setting-out sheet: drawings, order of work and a block for each fence, as PDF."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from diagram.drawing.frame import largest_scale
from diagram.drawing.setting_plan import MARGIN, Shown, draw_setting
from diagram.drawing.sheet import Drawn
from diagram.sections.page import FOOT_HEIGHT, Page, page_of
from diagram.stakeout.setting import SettingOut
from diagram.typeface import FACE_NAMES
from diagram.writers.foot import CountedFoot
from diagram.writers.pdf import POINTS_PER_MM, draw_scene, font_name, mark_document, open_canvas

if TYPE_CHECKING:
    pass

DRAWINGS: tuple[Shown, ...] = ("tapes", "baselines")


def sheet_bytes(
    setting: SettingOut, *, paper: str = "A4", track: bool = False, form: bool = False
) -> bytes:
    """The sheet as a PDF that is the same bytes for the same setting.

    `track` draws the ridden line faint, `form` adds an empty form for measured tapes. Raises
    ValueError for an unknown paper, and when the arena fits on it at no scale.
    """
    for weight in FACE_NAMES:
        font_name(weight)
    page = _larger(setting, paper)
    drawn = [
        draw_setting(setting, page.inner_width, page.inner_height - 0.5, shown, track)
        for shown in DRAWINGS
    ]
    return _set(_story(setting, page, drawn, form), setting, page, drawn[0])


def _larger(setting: SettingOut, paper: str) -> Page:
    """The page held so that the drawing is larger; on its side where it makes no difference."""

    def scale(page: Page) -> float:
        room = (page.inner_width - 2 * MARGIN, page.inner_height - 2 * MARGIN)
        return largest_scale(setting.plan.arena.size, room) or float("inf")

    pages = [page_of(paper, landscape, setting.crew.units) for landscape in (True, False)]
    return min(pages, key=scale)


def _story(setting: SettingOut, page: Page, drawn: list[Drawn], form: bool) -> list[Any]:
    from reportlab.platypus import PageBreak

    from diagram.sections import section
    from diagram.sections.drawing import flowables
    from diagram.sections.setting_blocks import blocks
    from diagram.sections.setting_form import form as empty_form
    from diagram.sections.setting_work import equipment, lines, points_list, work

    story: list[Any] = []
    for drawing in drawn:
        story += [*flowables(drawing, draw_scene), PageBreak()]
    story += work(setting, page) + points_list(setting, page) + equipment(setting, page)
    story += lines(setting, page) + section("findings")(setting.plan, page)
    story += section("cautions")(setting.plan, page)
    story += [PageBreak(), *blocks(setting, page)]
    return story + (empty_form(setting, page) if form else [])


def _set(story: list[Any], setting: SettingOut, page: Page, drawn: Drawn) -> bytes:
    """The flowables on as many pages as they need, each with its foot."""
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

    out, k, edge = io.BytesIO(), POINTS_PER_MM, page.margin * POINTS_PER_MM
    title = f"Setting out: {setting.plan.definition.title}"
    canvas = open_canvas(out, (page.width_mm, page.height_mm), title)
    frame = Frame(
        edge, edge + FOOT_HEIGHT * k, page.inner_width * k, page.inner_height * k,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip
    foot = CountedFoot(title, page, f"scale of the drawings 1:{drawn.frame.denominator:g}")
    template = PageTemplate("sheet", [frame], onPage=foot.draw)
    size = (page.width_mm * k, page.height_mm * k)
    document = BaseDocTemplate(out, pagesize=size, pageTemplates=[template])
    # The number of pages is not known before the last one, so the document stays open.
    document._doSave = 0
    canvas.bookmarkPage("sheet")
    canvas.addOutlineEntry(title, "sheet", 0)
    document.build(story, canvasmaker=lambda *_, **__: canvas)
    mark_document(canvas, title)
    foot.close(canvas, document.page)
    canvas.save()
    return out.getvalue()
