"""The line of a phase beside its name, as the drawing shows it."""

from __future__ import annotations

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable

from diagram import style
from diagram.sections.paragraphs import paragraph, words
from diagram.style import phase_pen

LENGTH, GAP = 14.0, 2.0
"""Millimetres of line, long enough for every dash pattern to show, and of space after it."""


class PhaseLine(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A stretch of the phase's line with the name of the phase after it."""

    def __init__(self, name: str, phase: int) -> None:
        super().__init__()
        self.pen = phase_pen(phase)
        self.name = paragraph(words(name, "bold"), style.LABEL)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """As wide as there is room; as high as the name needs."""
        self.width = width
        _, self.height = self.name.wrap(width - (LENGTH + GAP) * mm, height)
        return width, self.height

    def draw(self) -> None:
        """Paint both."""
        canvas = self.canv
        canvas.saveState()
        canvas.setStrokeColor(HexColor(self.pen.colour))
        canvas.setLineWidth(self.pen.width * mm)
        canvas.setDash([length * mm for length in self.pen.dash])
        middle = self.height - self.name.style.leading * 0.6
        canvas.line(0, middle, LENGTH * mm, middle)
        canvas.restoreState()
        self.name.drawOn(canvas, (LENGTH + GAP) * mm, 0)
