"""What a trainer says round the exercise: before it, easier, harder, and after it."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import SIDE, paragraph, part, ruled, runs, words

LABEL_WIDTH = 22.0


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """A row for each kind of advice, or several where it is long; nothing if none is given."""
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
        for n, text in enumerate(runs(texts, "  •  ")):
            label = words(name, "semibold") if n == 0 else ""
            rows.append([paragraph(label, SIDE), paragraph(words(text), SIDE)])
    if not rows:
        return []
    widths = [LABEL_WIDTH * mm, (page.inner_width - LABEL_WIDTH) * mm]
    return [*part("Before, after and instead"), Table(rows, colWidths=widths, style=ruled())]
