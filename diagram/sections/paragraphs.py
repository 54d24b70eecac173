"""Words on a page: styles of paragraphs, and text made safe for them.

A paragraph of reportlab reads its text as markup. Whatever comes out of a file goes through
`words` first, so that ``<b>`` in a note is printed as four characters.
"""

from __future__ import annotations

from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, Paragraph

from diagram import style
from diagram.sections.typeset import UnknownMarkup, Words
from diagram.style import INK, MM_PER_POINT, SOFT_INK, Weight
from diagram.typeface import FACE_NAMES, printable, settable, weight_for

LEADING = 1.17
"""Line height as a share of the type size."""

SIDE = style.points(7.5)
"""Type of what stands beside the figures: advice, cautions, findings, what is taught."""


def words(text: str, weight: Weight = "regular") -> str:
    """Markup that prints exactly `text`: in a weight, lines kept, nothing taken for markup."""
    lines = "<br/>".join(escape(settable(line).text) for line in text.strip().split("\n"))
    if weight == "regular":
        return lines
    return f'<font name="{FACE_NAMES[weight_for(text, weight)]}">{lines}</font>'


def soft(text: str) -> str:
    """Markup that prints `text` standing back."""
    return f'<font color="{SOFT_INK}">{words(text)}</font>'


@cache
def body(size: float = style.LABEL, align: int = 0, bullet: bool = False) -> ParagraphStyle:
    """The style of running text at a type size in mm; `align` 0 left, 1 middle, 2 right."""
    points = size / MM_PER_POINT
    return ParagraphStyle(
        f"body-{size}-{align}-{bullet}",
        fontName=FACE_NAMES["regular"],
        fontSize=points,
        leading=points * LEADING,
        textColor=HexColor(INK),
        alignment=align,
        # Otherwise bullets ask for a face that is not embedded.
        bulletFontName=FACE_NAMES["regular"],
        bulletFontSize=points,
        leftIndent=3 * mm if bullet else 0,
        spaceAfter=0.2 * mm if bullet else 0,
    )


def paragraph(markup: str, size: float = style.LABEL, align: int = 0) -> Flowable:
    """A paragraph of markup made by `words` and `soft`; any other goes to reportlab."""
    try:
        return Words(markup, body(size, align))
    except UnknownMarkup:
        return Paragraph(markup, body(size, align))


def item(markup: str, size: float = SIDE) -> Flowable:
    """A paragraph in a list, with a bullet."""
    return Words(markup, body(size, bullet=True), "•")


class Heading(Words):
    """A paragraph that the outline of the document lists as well."""

    def __init__(self, title: str, size: float, level: int) -> None:
        base = body(size)
        look = ParagraphStyle(
            f"heading-{size}", base, spaceBefore=1.1 * mm if level else 0, spaceAfter=0.4 * mm
        )
        super().__init__(words(title, "bold"), look)
        self.title, self.level = printable(title).text, level

    def draw(self) -> None:
        """Paint it, and enter it in the outline."""
        key = f"part {self.title}"
        self.canv.bookmarkHorizontal(key, 0, self.height)
        self.canv.addOutlineEntry(self.title, key, self.level, closed=False)
        super().draw()


START_OF_PART = 10.2
"""Millimetres for a heading and the first lines under it: with less, it goes to the next page."""


def part(title: str, room: float = START_OF_PART) -> list[Flowable]:
    """The heading over a part of a page; on the next page where `room` mm are not left."""
    return [CondPageBreak(room * mm), Heading(title, style.HEADING, 1)]


def ruled(*commands: tuple[Any, ...]) -> list[tuple[Any, ...]]:
    """Commands for a table: tight cells, text at their tops, the one typeface; and `commands`."""
    everywhere = ((0, 0), (-1, -1))
    return [
        ("FONT", *everywhere, FACE_NAMES["regular"], 8),
        ("VALIGN", *everywhere, "TOP"),
        ("LEFTPADDING", *everywhere, 0.8 * mm),
        ("RIGHTPADDING", *everywhere, 0.8 * mm),
        ("TOPPADDING", *everywhere, 0.3 * mm),
        ("BOTTOMPADDING", *everywhere, 0.45 * mm),
        *commands,
    ]
