"""The table of elements: a row for each way from fence to fence, and what is taught there."""

from __future__ import annotations

import math
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table

from diagram import style
from diagram.planning import Plan, PlanLeg
from diagram.sections.legs import LegTexts, clock_text, leg_texts
from diagram.sections.page import Page
from diagram.sections.paragraphs import (
    LONGEST_PIECE,
    SIDE,
    paragraph,
    part,
    pieces,
    ruled,
    soft,
    words,
)
from diagram.sections.swatch import PhaseLine
from diagram.style import GREY, INK, PALE
from diagram.units import FOOT, Units

HEADS = (
    "No.", "From → to", "How", "Strides", "Feet", "Metres", "Steps", "Rides as", "Gait, lead",
    "Time",
)  # fmt: skip
SHARES = (7, 33, 20, 16, 13, 15, 19, 34, 23, 10)
"""Widths of the columns, as shares of the width of the page."""
FEET_COLUMN, METRES_COLUMN = 4, 5

MEASURED = (
    "Distances run from base to base along the track: from the landing side of one fence to the "
    "take-off side of the next. A step is 3 feet. Turns are rounded: nobody tapes them. "
    "Places of fences are those of their middle, from the left and the lower edge of the arena."
)


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """The table, how its distances are measured, and the ride in figures."""
    table = _Rows(plan, page)
    for leg in plan.legs:
        table.take(leg)
    return [
        *part("Element by element"),
        table.flowable(),
        Spacer(0, 1.5 * mm),
        paragraph(words(totals_text(plan), "semibold")),
        paragraph(words(clock_text(plan)), SIDE),
        paragraph(soft(MEASURED), style.SMALL),
    ]


def totals_text(plan: Plan) -> str:
    """The ride in one line: length, time, jumps, efforts, turns."""
    totals = plan.totals
    minutes, seconds = divmod(round(totals.seconds), 60)
    time = f"{minutes} min {seconds} s" if minutes else f"{seconds} s"
    return (
        f"In all: {totals.track_m / FOOT:,.0f}' = {totals.track_m:,.0f} m of track, {time}; "
        f"{_count(totals.jumps, 'jump')}, {_count(totals.efforts, 'effort')}; "
        f"{_count(totals.left_turns, 'turn')} left, {totals.right_turns} right."
    )


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


class _Rows:
    """Collects the rows of the table and the commands that shape them."""

    def __init__(self, plan: Plan, page: Page) -> None:
        self.plan, self.page = plan, page
        self.heads, self.shares = list(HEADS), SHARES
        if page.units == "metres":
            self.heads = self._metres_first(self.heads)
        self.rows: list[list[Any]] = [[paragraph(words(head, "semibold")) for head in self.heads]]
        self.commands: list[tuple[Any, ...]] = [
            ("LINEBELOW", (0, 0), (-1, 0), 0.6, HexColor(INK)),
            ("BACKGROUND", (0, 0), (-1, 0), HexColor(PALE)),
        ]
        self.phase = -1

    def _metres_first(self, cells: list[Any]) -> list[Any]:
        swapped = list(cells)
        swapped[FEET_COLUMN], swapped[METRES_COLUMN] = cells[METRES_COLUMN], cells[FEET_COLUMN]
        return swapped

    def take(self, leg: PlanLeg) -> None:
        """A row for the leg, under the heading of its phase; what is taught goes below it."""
        first = len(self.rows)
        if leg.link.phase != self.phase:
            self._phase(leg.link.phase)
        if leg.number:
            self.commands.append(("LINEABOVE", (0, first), (-1, first), 0.3, HexColor(GREY)))
        texts = leg_texts(leg, self.plan, self.page.units)
        self.rows.append(self._cells(texts))
        taught = taught_markup((*_radius(leg, self.page.units), *texts.taught))
        for markup in taught:
            self._across(paragraph(markup, SIDE), 1)
        # The figures stay with the heading above them and the first words below them.
        last = len(self.rows) - 1 - max(len(taught) - 1, 0)
        if last > first:
            self.commands.append(("NOSPLIT", (0, first), (-1, last)))

    def _phase(self, phase: int) -> None:
        self.phase = phase
        name = self.plan.course.phases[phase]
        if name:
            self._across(PhaseLine(name, phase), 0)

    def _across(self, cell: Flowable, column: int) -> None:
        row = len(self.rows)
        self.rows.append([None] * column + [cell] + [None] * (len(HEADS) - column - 1))
        self.commands.append(("SPAN", (column, row), (-1, row)))

    def _cells(self, texts: LegTexts) -> list[Any]:
        one: Units = "metres" if self.page.units == "metres" else "feet"
        feet, metres = (
            words(text, "bold" if unit == one else "regular")
            for unit, text in (("feet", texts.feet), ("metres", texts.metres))
        )
        rides = words(texts.rides, "bold" if texts.off else "regular")
        markup = [
            words(texts.number, "bold"),
            f"{words(texts.ends, 'semibold')} {soft(texts.manner)}",
            words(texts.how), words(texts.strides, "semibold"), feet, metres, words(texts.steps),
            _lines(rides, soft(texts.asked)),
            words(texts.gait), words(texts.seconds),
        ]  # fmt: skip
        if one == "metres":
            markup = self._metres_first(markup)
        return [paragraph(text) if text else None for text in markup]

    def flowable(self) -> Table:
        """The table; its head comes again on each page."""
        width = self.page.inner_width * mm / sum(self.shares)
        return Table(
            self.rows,
            colWidths=[share * width for share in self.shares],
            repeatRows=1,
            style=ruled(*self.commands),
        )


def _radius(leg: PlanLeg, units: Units) -> tuple[tuple[str, str], ...]:
    """How tight a bend is at its tightest, to the half metre or the foot."""
    if leg.shape != "bend" or not math.isfinite(leg.min_radius_m):
        return ()
    metres = f"{round(leg.min_radius_m * 2) / 2:g} m"
    text = metres if units == "metres" else f"{leg.min_radius_m / FOOT:.0f}' = {metres}"
    return (("Radius", text),)


def _lines(first: str, second: str) -> str:
    """One under the other, where there is a second; markup made of nothing counts as none."""
    return f"{first}<br/>{second}" if second != soft("") and first else first or second


def taught_markup(taught: tuple[tuple[str, str], ...]) -> list[str]:
    """What is taught as one paragraph, or as several where it is long."""
    out: list[str] = []
    room = 0
    for name, text in taught:
        for n, piece in enumerate(pieces(text)):
            markup = f"{soft(name)} {words(piece)}" if n == 0 else words(piece)
            if len(piece) > room:
                out.append(markup)
                room = LONGEST_PIECE // 2
            else:
                out[-1] += f" &nbsp; {markup}"
            room -= len(piece)
    return out
