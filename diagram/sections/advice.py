"""What a trainer says round the exercise: before it, easier, harder, and after it."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import paragraph, part, pieces, ruled, words

LABEL_WIDTH = 22.0


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """A row for each text, with its heading before the first of a kind; nothing if none is said."""
    said = plan.definition
    kinds = (
        ("Warm-up", said.warm_up),
        ("Easier", said.easier),
        ("Harder", said.harder),
        ("Leads to", said.leads_to),
        ("Notes", said.notes),
    )
    rows = []
    for name, texts in kinds:
        cells = [piece for text in texts for piece in pieces(text)]
        for n, text in enumerate(cells):
            label = words(name, "semibold") if n == 0 else ""
            rows.append([paragraph(label), paragraph(words(text))])
    if not rows:
        return []
    widths = [LABEL_WIDTH * mm, (page.inner_width - LABEL_WIDTH) * mm]
    return [*part("Before, after and instead"), Table(rows, colWidths=widths, style=ruled())]
