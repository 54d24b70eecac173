"""The head of a card: what the exercise is, for whom, in what, and what for."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from diagram import style
from diagram.diagnostics import Severity
from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import Heading, paragraph, soft, words
from diagram.units import feet_inches, length_text

LONG_TITLE = 80
"""Characters from which a title is set in smaller type."""

STOPPED = "Do not ride this as it stands: see what the checks found."


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """Title, a line of facts, the scenario if there is one, and the purpose."""
    said = plan.definition
    size = style.TITLE if len(said.title) < LONG_TITLE else style.HEADING
    out: list[Flowable] = [
        Heading(said.title, size, 0),
        paragraph(" &nbsp;·&nbsp; ".join(_facts(plan, page))),
    ]
    if said.scenario:
        out.append(paragraph(f"{words('Scenario:', 'semibold')} {words(said.scenario)}"))
    out.append(paragraph(f"{words('Purpose:', 'semibold')} {words(said.purpose)}", style.FIGURE))
    if any(finding.severity is Severity.STOP for finding in plan.findings):
        out.append(paragraph(words(STOPPED, "bold"), style.FIGURE))
    return [*out, Spacer(0, 3)]


def _facts(plan: Plan, page: Page) -> list[str]:
    said = plan.definition
    facts: list[tuple[str, str]] = []
    if said.level is not None:
        facts.append(("Level", length_text(said.level, page.units)))
    if said.skills:
        facts.append(("Skills", ", ".join(said.skills)))
    if said.minutes is not None:
        facts.append(("Time", f"{said.minutes} minutes"))
    facts.append(("Arena", _arena(plan, page)))
    facts.append(("Horses", _horses(plan, page)))
    if said.conditions:
        facts.append(("Conditions", ", ".join(said.conditions)))
    facts.append(("Strides by", plan.terms.table.name))
    return [f"{soft(name)} {words(text)}" for name, text in facts]


def _arena(plan: Plan, page: Page) -> str:
    long, wide = plan.arena.size
    size = f"{round(long, 1):g} × {round(wide, 1):g} m"
    if page.units != "metres":
        size += f" ({feet_inches(long, 12)} × {feet_inches(wide, 12)})"
    name = plan.arena.name
    # Most arenas are called by their size: said once, that is enough.
    return size if name[:1].isdigit() else f"{name}, {size}"


def _horses(plan: Plan, page: Page) -> str:
    horses = plan.terms.horses
    return f"{horses.size}, {horses.experience}, stride {length_text(horses.stride_m, page.units)}"
