"""An empty form for what was really built: tapes to be read once everything stands."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak, Table

from diagram.sections.page import Page
from diagram.sections.paragraphs import paragraph, part, ruled, soft, words
from diagram.stakeout.pairs import tape_pairs
from diagram.stakeout.setting import SettingOut
from diagram.style import GREY, LABEL, PALE, points

ROW = points(11)


def form(setting: SettingOut, page: Page) -> list[Flowable]:
    """From, to, and an empty place for the reading, in two columns."""
    pairs = tape_pairs(setting)
    half = -(-len(pairs) // 2)
    rows = [[paragraph(soft(head), LABEL) for head in ("From", "To", "Reads") * 2]]
    for n in range(half):
        cells: list[Flowable] = []
        for pair in (pairs[n], pairs[n + half] if n + half < len(pairs) else ("", "")):
            cells += [paragraph(words(text), ROW) for text in pair]
            cells.append(paragraph("", ROW))
        rows.append(cells)
    width = page.inner_width * mm
    table = Table(
        rows,
        colWidths=[width * share for share in (0.2, 0.16, 0.14) * 2],
        rowHeights=[None, *[8.5 * mm] * half],
        repeatRows=1,
        style=ruled(
            ("GRID", (0, 0), (-1, -1), 0.4, GREY),
            ("BACKGROUND", (0, 0), (-1, 0), PALE),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ),
    )
    said = (
        "Read as many as you can, in any order; leave out what is in the way. More than two to a "
        "foot show a misreading. What they should read is on the other pages: do not look."
    )
    return [PageBreak(), *part("As built: what the tapes read"), paragraph(words(said)), table]
