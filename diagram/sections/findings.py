"""What the checks found, the worst first."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import SIDE, paragraph, part, ruled, runs, soft, words

LABEL_WIDTH = 19.0
FIRST_ROW = 24.0
"""Millimetres that the heading and the first finding, at its longest, need together."""


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """A row for each stop and caution and each thing allowed; notes of one check together.

    Each has the letter that stands at its place on the drawing, what to do instead, and where
    its limit comes from. Nothing if there is none at all: that nothing was found is no promise
    that all is well, so it is not printed.
    """
    if not plan.findings:
        return []
    worst_first = sorted(plan.findings, key=lambda found: (found.severity.rank, found.order()))
    lines = _jumps_by_line(plan)
    rows: list[list[Flowable]] = []
    notes: dict[tuple[str, str, str], list[Diagnostic]] = {}
    for finding in worst_first:
        if finding.severity is Severity.NOTE:
            notes.setdefault((finding.rule, finding.hint, _source(finding)), []).append(finding)
        else:
            rows += _rows([finding], lines, str(finding.severity))
    for together in notes.values():
        allowed = "allowed" in dict(together[0].facts)
        rows += _rows(together, lines, "allowed" if allowed else "note")
    widths = [LABEL_WIDTH * mm, (page.inner_width - LABEL_WIDTH) * mm]
    return [*part("What the checks found", FIRST_ROW), Table(rows, colWidths=widths, style=ruled())]


def _rows(findings: list[Diagnostic], lines: dict[int, str], severity: str) -> list[list[Flowable]]:
    """Findings that share what to do and where the limit comes from, in rows that fit a page."""
    said = runs(_lettered(finding, lines) for finding in findings)
    markup = [words(text) for text in said]
    after = [_sentence(findings[0].hint), _sentence(_limit(findings[0]))]
    first, *more = runs(text for text in after if text) or [""]
    markup[-1] += f" {soft(first)}" if first else ""
    markup += [soft(text) for text in more]
    labels = [words(severity.upper(), "bold")] + [""] * (len(markup) - 1)
    return [[paragraph(a, SIDE), paragraph(b, SIDE)] for a, b in zip(labels, markup, strict=True)]


def _lettered(finding: Diagnostic, lines: dict[int, str]) -> str:
    mark = dict(finding.facts).get("mark")
    sentence = _sentence(_placed(finding, lines))
    return f"({mark}) {sentence}" if mark else sentence


def _source(finding: Diagnostic) -> str:
    return str(dict(finding.facts).get("source", ""))


def _limit(finding: Diagnostic) -> str:
    """Where the limit comes from."""
    source = _source(finding)
    if not source:
        return ""
    return f"Limit: {source}" if "limit" in dict(finding.facts) else f"Source: {source}"


def _jumps_by_line(plan: Plan) -> dict[int, str]:
    """For each line of the file about the ride, the number of the jump that it leads to."""
    lines: dict[int, str] = {}
    for leg in plan.legs:
        if leg.second is None or leg.link.inner:
            continue
        for path in (leg.path, leg.second.jump.path):
            lines.setdefault(plan.document.span_at(path).line, leg.second.jump.label)
    return lines


def _placed(finding: Diagnostic, lines: dict[int, str]) -> str:
    """The message with the jump it is about, unless it says so itself."""
    message = finding.message or finding.rule
    number = lines.get(finding.span.line) if finding.span else None
    if not number or "jump" in message:
        return message
    return f"jump {number}: {message}"


def _sentence(text: str) -> str:
    """`text` with a capital and a full stop."""
    plain = text.strip()
    if not plain:
        return ""
    return plain[0].upper() + plain[1:] + ("" if plain[-1] in ".!?" else ".")
