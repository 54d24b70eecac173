"""Everyone of a record beside each other: pairs in the order of names, never a ranking."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.plain import counted
from diagram.records.pages import (
    RequirementRow,
    RowGroup,
    page_heights,
    page_levels,
    requirement_row,
)
from diagram.records.readiness import Readiness, month_number
from diagram.records.step_file import Step
from diagram.records.words import BYS, asked_text, day_text, height_text
from diagram.units import Units

MOST_PAIRS = 5
"""Pairs on one page; further pairs go on the next."""
HEADS = {
    "horse": "The horse, under every rider", "rider": "The rider, on every horse",
    "pair": "The two together",
}  # fmt: skip


class PairColumn(Struct, frozen=True):
    """One pair. `counts` are shown, of how many, and whose column says the same."""

    rider: str
    horse: str
    seen: str
    heights: tuple[tuple[float, int], ...]
    counts: tuple[tuple[int, int, str], ...]
    rows: tuple[tuple[RequirementRow, ...], ...]
    told: str


class YardPage(Struct, frozen=True):
    """One page of up to five pairs."""

    title: str
    from_height: str
    to_height: str
    seen: str
    look_back: str
    levels: tuple[tuple[int, str], ...]
    months: tuple[int, ...]
    groups: tuple[RowGroup, ...]
    columns: tuple[PairColumn, ...]
    key: str


def yard_pages(found: Sequence[Readiness], units: Units = "feet") -> tuple[YardPage, ...]:
    """Pages of a yard, for pairs that are all looked at for the same step."""
    step = found[0].step
    assert step is not None
    rounds = [one for page in found for one in page.rounds]
    days = sorted({one.day.on for one in rounds})
    dates = f"{day_text(days[0], True)} to {day_text(days[-1], True)}" if days else "no round yet"
    first = found[0]
    note = f" {first.note}" if first.note else ""
    name = f"{first.yard}, everyone" if first.yard else "Everyone"
    chunks = [found[n : n + MOST_PAIRS] for n in range(0, len(found), MOST_PAIRS)]
    pages = []
    for n, chunk in enumerate(chunks, 1):
        part = f" Page {n} of {len(chunks)}." if len(chunks) > 1 else ""
        seen = (
            f"{counted(len(found), 'pair')} in the order of names: not a ranking. Seen from "
            f"{dates}; on {day_text(first.on, True)}.{part}{note}"
        )
        pages.append(
            YardPage(
                name, height_text(step.from_mm, units), height_text(step.to_mm, units), seen,
                f"tries of the last {step.look_back // 7} weeks", page_levels(rounds, units),
                tuple(sorted({month_number(one.day.on) for one in rounds})),
                _groups(chunk[0], step), _columns(found, chunk, units), KEY,
            )
        )  # fmt: skip
    return tuple(pages)


KEY = "Bar: 80 % range, 0 to 10 in 10, and what is asked. Below it: by month, 4 to 10 in 10."


def _groups(page: Readiness, step: Step) -> tuple[RowGroup, ...]:
    found = []
    for by in BYS:
        # What is asked of every pair: where a break cut a look-back short stands on its own page.
        rows = [
            replace(requirement_row(one, page),
                    asked=asked_text(one.requirement.ask, step.look_back, None))
            for one in page.by(by)
        ]  # fmt: skip
        if rows:
            found.append(RowGroup(by, "", HEADS[by], "", tuple(rows)))
    return tuple(found)


def _columns(
    every: Sequence[Readiness], chunk: Sequence[Readiness], units: Units
) -> tuple[PairColumn, ...]:
    columns = []
    for page in chunk:
        days = {one.day.on for one in page.rounds}
        rows, counts = [], []
        for by in BYS:
            if not page.by(by):
                continue
            rows.append(tuple(requirement_row(one, page) for one in page.by(by)))
            counts.append((page.count(by), len(page.by(by)), _same(every, page, by)))
        columns.append(
            PairColumn(
                page.pair.person.name, page.pair.horse.name,
                f"{counted(len(page.rounds), 'round')}, {counted(len(days), 'day')} in all",
                page_heights(page.rounds, units), tuple(counts), tuple(rows), told_text(page),
            )
        )  # fmt: skip
    return tuple(columns)


def _same(every: Sequence[Readiness], page: Readiness, by: str) -> str:
    """``as for Ida`` where an earlier column shows the same horse or rider again."""
    for other in every:
        if other is page:
            return ""
        if by == "horse" and other.pair.horse.horse_id == page.pair.horse.horse_id:
            return f"as for {other.pair.person.name}"
        another = any(r.requirement.counts.another_horse for r in page.by("rider"))
        same = other.pair.person.person_id == page.pair.person.person_id
        if by == "rider" and same and not another:
            return f"as for {other.pair.horse.name}"
    return ""


def told_text(page: Readiness) -> str:
    """Which of the two can be told apart from another: both, one, or neither."""
    horse = any(one.what == "horse" and one.told for one in page.contrasts)
    rider = any(one.what == "rider" and one.told for one in page.contrasts)
    if horse and rider:
        return "both"
    if horse or rider:
        return "the horse only" if horse else "the rider only"
    return "cannot be told"
