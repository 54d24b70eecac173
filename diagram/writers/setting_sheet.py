"""The builder's leaf, the second leaf and the empty form, a scene to a page, as PDF."""

from __future__ import annotations

import io

from diagram.drawing.blank_form import blank_form
from diagram.drawing.leaf_page import leaf_pages
from diagram.drawing.second_leaf import second_leaf
from diagram.scene import Scene
from diagram.sections.cautions import CAUTIONS
from diagram.sections.page import PAPERS
from diagram.stakeout.setting import SettingOut
from diagram.typeface import FACE_NAMES
from diagram.writers.pdf import POINTS_PER_MM, draw_scene, font_name, mark_document, open_canvas

MARGINS = {"A4": 10.0, "Letter": 9.0, "A3": 14.1, "Tabloid": 12.7}
"""Millimetres left free round the page: what printers do not reach, and a thumb."""

GROWN = {"A4": 1.0, "Letter": 1.0, "A3": 1.41, "Tabloid": 1.33}
"""By how much everything grows on a larger sheet, type as well."""


def sheet_scenes(
    setting: SettingOut, *, paper: str = "A4", track: bool = False, form: bool = False
) -> tuple[Scene, ...]:
    """Every page on a sheet on its side, without its margins, in millimetres.

    `track` draws the ridden line faint, `form` adds an empty form for measured tapes. Raises
    ValueError for an unknown paper, and when the arena fits on it at no scale.
    """
    if paper not in PAPERS:
        raise ValueError(f'"{paper}" is no paper known here; there are {", ".join(PAPERS)}')
    high, wide = (side - 2 * MARGINS[paper] for side in PAPERS[paper])
    grown = GROWN[paper]
    size = wide / grown, high / grown
    pages = leaf_pages(setting, *size, track=track) + second_leaf(setting, CAUTIONS, *size)
    if form:
        pages += blank_form(setting, *size)
    return tuple(page.enlarged(grown) if grown != 1.0 else page for page in pages)


def sheet_bytes(
    setting: SettingOut, *, paper: str = "A4", track: bool = False, form: bool = False
) -> bytes:
    """The same as a PDF that is the same bytes for the same setting. Raises as `sheet_scenes`."""
    scenes = sheet_scenes(setting, paper=paper, track=track, form=form)
    for weight in FACE_NAMES:
        font_name(weight)
    high, wide = PAPERS[paper]
    margin = MARGINS[paper]
    out = io.BytesIO()
    title = f"Setting out: {setting.plan.definition.title}"
    canvas = open_canvas(out, (wide, high), title)
    canvas.bookmarkPage("sheet")
    canvas.addOutlineEntry(title, "sheet", 0)
    for scene in scenes:
        canvas.saveState()
        canvas.translate(0.0, high * POINTS_PER_MM)
        draw_scene(canvas, scene, margin, -margin)
        canvas.restoreState()
        canvas.showPage()
    mark_document(canvas, title)
    canvas.save()
    return out.getvalue()
