"""What the checks found, the worst first."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import SIDE, paragraph, part, pieces, ruled, runs, soft, words

LABEL_WIDTH = 17.0


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """A row for each finding, notes together in one; nothing if there is none at all.

    That nothing was found is no promise that all is well, so it is not printed.
    """
    if not plan.findings:
        return []
    worst_first = sorted(plan.findings, key=lambda found: (found.severity.rank, found.order()))
    lines = _jumps_by_line(plan)
    rows: list[list[Flowable]] = []
    notes: list[str] = []
    for finding in worst_first:
        if finding.severity is Severity.NOTE:
            notes.append(_sentence(_placed(finding, lines)))
        else:
            rows += _rows(finding, lines)
    for n, text in enumerate(runs(notes)):
        label = words("NOTE", "bold") if n == 0 else ""
        rows.append([paragraph(label, SIDE), paragraph(words(text), SIDE)])
    widths = [LABEL_WIDTH * mm, (page.inner_width - LABEL_WIDTH) * mm]
    return [*part("What the checks found"), Table(rows, colWidths=widths, style=ruled())]


def _rows(finding: Diagnostic, lines: dict[int, int]) -> list[list[Flowable]]:
    first, *others = pieces(_sentence(_placed(finding, lines)))
    markup = [words(first), *(words(other) for other in others)]
    hint, *more = pieces(_sentence(finding.hint)) or [""]
    markup[-1] += f" {soft(hint)}" if hint else ""
    markup += [soft(text) for text in more]
    label = words(str(finding.severity).upper(), "bold")
    labels = [label] + [""] * (len(markup) - 1)
    return [[paragraph(a, SIDE), paragraph(b, SIDE)] for a, b in zip(labels, markup, strict=True)]


def _jumps_by_line(plan: Plan) -> dict[int, int]:
    """For each line of the file about the ride, the number of the jump that it leads to."""
    lines: dict[int, int] = {}
    for leg in plan.legs:
        if leg.second is None or leg.link.inner:
            continue
        for path in (leg.path, leg.second.jump.path):
            lines.setdefault(plan.document.span_at(path).line, leg.second.jump.number)
    return lines


def _placed(finding: Diagnostic, lines: dict[int, int]) -> str:
    """The message with the jump it is about, unless it says so itself."""
    message = finding.message or finding.rule
    number = lines.get(finding.span.line) if finding.span else None
    if number is None or "jump" in message:
        return message
    return f"jump {number}: {message}"


def _sentence(text: str) -> str:
    """`text` with a capital and a full stop."""
    plain = text.strip()
    if not plain:
        return ""
    return plain[0].upper() + plain[1:] + ("" if plain[-1] in ".!?" else ".")
