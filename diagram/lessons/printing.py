"""The print of a lesson: the running sheet, the cards in order, then the setting-out sheets."""

from __future__ import annotations

from diagram.lessons.lesson import Lesson
from diagram.lessons.sheet import running_sheet
from diagram.units import Units
from diagram.writers.joined import joined, page_count
from diagram.writers.record import pages_bytes


def lesson_pdf(lesson: Lesson, *, paper: str = "A4", units: Units = "feet") -> bytes:
    """The whole lesson as one PDF; the running sheet names the pages of the rest."""
    from diagram.pipeline import setting_bytes, setting_of
    from diagram.stakeout.crew import crew_for
    from diagram.writers.card import card_bytes

    cards = [card_bytes(plan, paper=paper, units=units) for plan in lesson.plans]
    leaves = []
    for n in _set_up(lesson):
        setting = setting_of(lesson.plans[n], crew_for(units))
        leaves.append((n, setting_bytes(setting, "pdf", paper=paper)))
    pages: dict[int, int] = {}
    at = 2
    for n, card in enumerate(cards):
        pages[n] = at
        at += page_count(card)
    whole = at - 1 + sum(page_count(leaf) for _, leaf in leaves)
    sheet = pages_bytes([running_sheet(lesson, pages, at, whole)])
    titles = [plan.definition.title for plan in lesson.plans]
    parts = [("Running sheet", sheet), *zip(titles, cards, strict=True)]
    parts += [(f"Setting out: {titles[n]}", leaf) for n, leaf in leaves]
    return joined(parts, lesson.title)


def _set_up(lesson: Lesson) -> list[int]:
    """Exercises that bring fences which no earlier one brought: each has a sheet of its own."""
    order = dict.fromkeys(lesson.order.sequence) if lesson.order else {}
    needed: list[int] = []
    there: set[str] = set()
    for n in order:
        own = {spot.name + str(spot.pose) for spot in lesson.spots if n in spot.builds}
        if own - there:
            needed.append(n)
        there |= own
    return needed
