"""What was really built: the verdict, what to move, how the lines ride, where the fences stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table

from diagram import style
from diagram.sections.page import Page
from diagram.sections.paragraphs import (
    SIDE,
    Heading,
    item,
    paragraph,
    part,
    ruled,
    soft,
    words,
)
from diagram.style import GREY, PALE
from diagram.survey.as_built import AsBuilt
from diagram.survey.as_built_words import (
    AS_RIDDEN,
    HOW,
    ellipse_words,
    figures,
    line_words,
    listed,
    standing_words,
    still_to_tape,
    trust_words,
    verdict,
    wrong_words,
)
from diagram.survey.remedy_words import moves_words
from diagram.trade.words import Units

DRAWN = "Drawn as it stands; a dashed fence is where the plan has it."

NOT_KNOWN = "Not known where they stand, and drawn as planned"

LINES = ("Line", "Planned", "How it rides now", "±", "Angle", "")
LINE_SHARES = (30, 14, 62, 12, 46, 22)
FENCES = ("Fence", "Stands", "How sure", "Tapes", "")
FENCE_SHARES = (18, 66, 38, 10, 54)


def heading(found: AsBuilt) -> list[Flowable]:
    """Title and verdict."""
    title = f"{found.plan.definition.title}: as built"
    said = [paragraph(words(text, "bold"), style.FIGURE) for text in verdict(found)]
    return [Heading(title, style.TITLE, 0), *said, Spacer(0, 2 * mm)]


def flowables(found: AsBuilt, page: Page) -> list[Flowable]:
    """Everything under the drawing."""
    units: Units = "metres" if page.units == "metres" else "feet"
    unknown = [fence.fence for fence in found.fences if not fence.found]
    drawn = f"{DRAWN} {NOT_KNOWN}: {listed(unknown)}." if unknown else DRAWN
    out: list[Flowable] = [paragraph(soft(drawn), style.SMALL)]
    if found.wrong:
        out += [
            *part("Tapes that do not agree"),
            *_items(wrong_words(w, units) for w in found.wrong),
        ]
    out += _moves(found, units)
    if found.lines:
        out += [*part("Line by line"), _lines(found, page, units)]
    out += [*part("Fence by fence"), _fences(found, page, units), paragraph(soft(AS_RIDDEN), SIDE)]
    if more := still_to_tape(found):
        out += [*part("Still to be taped"), *_items(more)]
    if found.findings:
        texts = (f"{f.severity}: {f.message}" for f in found.findings)
        out += [*part("What the checks say of it now"), *_items(texts)]
    out += [Spacer(0, 1.5 * mm), paragraph(soft(f"{figures(found, units)} {HOW}"), style.SMALL)]
    return out


def _items(texts: Iterable[str]) -> list[Flowable]:
    return [item(words(_sentence(text))) for text in texts]


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def _moves(found: AsBuilt, units: Units) -> list[Flowable]:
    out: list[Flowable] = []
    for title, texts in moves_words(found, units):
        out += [*part(title), *_items(texts)]
    return out


def _lines(found: AsBuilt, page: Page, units: Units) -> Flowable:
    rows = [LINES]
    for now in found.lines:
        said = line_words(now, found, units)
        rows.append((said.ends, said.planned, said.now, said.error, said.angle, said.state))
    return _table(rows, LINE_SHARES, page)


def _fences(found: AsBuilt, page: Page, units: Units) -> Flowable:
    rows = [FENCES]
    for fence in found.fences:
        sure, trust = ellipse_words(fence, units), trust_words(fence, units)
        stands = standing_words(fence, units)
        rows.append((fence.fence, stands, sure, str(fence.tapes or ""), trust))
    return _table(rows, FENCE_SHARES, page)


def _table(rows: Sequence[Sequence[str]], shares: Sequence[int], page: Page) -> Flowable:
    """A table with its head on every page; the last column says what to look at."""
    head, *body = rows
    cells = [[paragraph(words(text, "semibold"), SIDE) for text in head]]
    for row in body:
        *plain, last = row
        loud = last not in ("right", "")
        cells.append(
            [paragraph(words(text), SIDE) for text in plain]
            + [paragraph(words(last, "bold" if loud else "regular"), SIDE)]
        )
    widths = [page.inner_width * mm * share / sum(shares) for share in shares]
    rules = ruled(
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, HexColor(GREY)),
        ("ROWBACKGROUNDS", (0, 1), (-1, -1), [None, HexColor(PALE)]),
    )
    return Table(cells, colWidths=widths, repeatRows=1, style=rules)
