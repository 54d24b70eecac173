"""The foot of a page: what it is, what it is no substitute for, its scale and number."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagram.drawing.furniture import NO_SUBSTITUTE, cut
from diagram.sections.page import Page
from diagram.style import INK, SMALL, SOFT_INK, text_width
from diagram.typeface import FACE_NAMES
from diagram.writers.pdf import POINTS_PER_MM

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


def draw_foot(canvas: Canvas, page: Page, title: str, right: str) -> None:
    """Paint the foot of a page."""
    k, edge = POINTS_PER_MM, page.width_mm - page.margin
    base = page.margin * k
    begin = edge - text_width(right, SMALL)
    middle = begin - 5 - text_width(NO_SUBSTITUTE, SMALL, "semibold")
    canvas.saveState()
    canvas.setStrokeColor(SOFT_INK)
    canvas.setLineWidth(0.4)
    canvas.line(page.margin * k, base + 9, edge * k, base + 9)
    canvas.setFillColor(INK)
    canvas.setFont(FACE_NAMES["regular"], SMALL * k)
    canvas.drawString(page.margin * k, base, cut(title, middle - page.margin - 5, SMALL))
    canvas.drawString(begin * k, base, right)
    canvas.setFont(FACE_NAMES["semibold"], SMALL * k)
    canvas.drawString(middle * k, base, NO_SUBSTITUTE)
    canvas.restoreState()
