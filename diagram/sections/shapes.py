"""Text with letters of the user's own font, in a PDF: filled shapes, which cannot be searched."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from diagram.scene import Point, number
from diagram.style import Weight
from diagram.typeface import outlined

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


def fill_shapes(
    canvas: Canvas, text: str, weight: Weight, x: float, size: float, spacing: float = 0.0
) -> None:
    """Fill a text on the canvas's baseline, in its present colour, from `x` on; all in points."""
    unit = size / 1000
    for n, (outline, x_em, y_em) in enumerate(outlined(text, weight).shapes):
        canvas.saveState()
        along = x + x_em * size + n * spacing
        canvas.transform(unit, 0, 0, unit, along, y_em * size)
        canvas.addLiteral(f"{_operators(outline)} f")
        canvas.restoreState()


@cache
def _operators(outline: str) -> str:
    """SVG path data in PDF's own words; a curve of the second degree raised to the third."""
    from fontTools.pens.basePen import BasePen
    from fontTools.svgLib.path import parse_path

    out: list[str] = []

    class Words(BasePen):  # type: ignore[misc]
        def _moveTo(self, at: Point) -> None:  # noqa: N802
            out.append(f"{number(at[0])} {number(at[1])} m")

        def _lineTo(self, at: Point) -> None:  # noqa: N802
            out.append(f"{number(at[0])} {number(at[1])} l")

        def _curveToOne(self, a: Point, b: Point, at: Point) -> None:  # noqa: N802
            out.append(" ".join(f"{number(x)} {number(y)}" for x, y in (a, b, at)) + " c")

        def _closePath(self) -> None:  # noqa: N802
            out.append("h")

    parse_path(outline, Words(None))
    return " ".join(out) or "0 0 m"
