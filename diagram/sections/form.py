"""The form on which a crew writes down the tapes it has taken."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table

from diagram import style
from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import Heading, item, paragraph, ruled, words
from diagram.setting_out.as_built_words import AS_RIDDEN, TAPED
from diagram.style import GREY

HOW_TO = (
    TAPED,
    AS_RIDDEN,
    "One holds the end at the first point, the other pulls the tape tight and level and reads.",
    "Write what the tape says, with its unit if that is another one. Skip what you cannot reach.",
    "Tapes from fence to fence say how the lines ride: take those even if you take few others.",
)
SHARES = (8, 66, 46, 62)
ROW = 7.0
"""Millimetres of height that a pencil and cold fingers need."""


def flowables(plan: Plan, tapes: Sequence[tuple[str, str]], page: Page) -> list[Flowable]:
    """Title, how to tape, and a numbered line for each tape."""
    unit = "metres" if page.units == "metres" else "feet and inches"
    rows = [["", "From", "To", f"Tape, {unit}"]]
    rows += [[str(n), first, second, ""] for n, (first, second) in enumerate(tapes, 1)]
    cells = [
        [paragraph(words(text, "regular" if n else "semibold"), style.LABEL) for text in row]
        for n, row in enumerate(rows)
    ]
    widths = [page.inner_width * mm * share / sum(SHARES) for share in SHARES]
    rules = ruled(
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, HexColor(GREY)),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    )
    table = Table(cells, widths, [None] + [ROW * mm] * len(tapes), repeatRows=1, style=rules)
    title = Heading(f"{plan.definition.title}: to be taped", style.TITLE, 0)
    return [title, *(item(words(text)) for text in HOW_TO), Spacer(0, 2 * mm), table]
