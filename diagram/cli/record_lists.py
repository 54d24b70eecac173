"""What the record says at the terminal: lists, figures, and what was forgotten."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from diagram.plain import counted
from diagram.records.changes import batches
from diagram.records.history import read_history
from diagram.records.strides import ElementFigures, comparisons, leg_figures, trend_words
from diagram.records.words import day_text, height_text
from diagram.units import length_text

if TYPE_CHECKING:
    from diagram.records.erase import Forgotten
    from diagram.records.file import RecordFile
    from diagram.records.values import History, Pair

MOST_CHANGES = 30


def lines_of(record: RecordFile, what: str) -> Iterator[str]:
    """One line for each pair, rider, horse, round, sheet or change."""
    if what == "changes":
        for batch in batches(record, MOST_CHANGES):
            yield f"{batch.number:>6}  {batch.at}  {batch.words}"
        return
    if what == "sheets":
        rows = record.rows(
            "SELECT sheet_id, title, height_mm, (SELECT count(*) FROM sheet_row r WHERE "
            "r.sheet_id = sheet.sheet_id) FROM sheet ORDER BY sheet_id"
        )
        for number, title, height, pairs in rows:
            yield f"{number:>5}  {title}, {height_text(height, 'feet')}, {counted(pairs, 'pair')}"
        return
    if what == "copies":
        for path, made in record.rows("SELECT path, made FROM copy ORDER BY copy_id"):
            yield f"{made[:10]}  {path}{'' if Path(path).is_file() else '  (not there)'}"
        return
    history = read_history(record)
    match what:
        case "riders":
            for person in history.people:
                born = f", born {person.birth_year}" if person.birth_year else ""
                yield f"{person.name}{born}, since {day_text(person.since, True)}"
        case "horses":
            for horse in history.horses:
                stride = horse.stride_mm
                own = f", stride {length_text(stride / 1000, 'both')}" if stride else ""
                yield f"{horse.name}, {horse.size}{own}, since {day_text(horse.since, True)}"
        case "rounds":
            yield from _rounds(history)
        case _:
            yield from _pairs(history)


def _pairs(history: History) -> Iterator[str]:
    for pair in history.pairs:
        own = [one for one in history.rounds if one.pair.pair_id == pair.pair_id]
        last = f", last {day_text(own[-1].day.on, True)}" if own else ""
        yield f"{pair.person.name}, {pair.horse.name}: {counted(len(own), 'round')}{last}"


def _rounds(history: History) -> Iterator[str]:
    from diagram.cli.typing_in import box_text
    from diagram.records.sheets import TickBox

    for one in history.rounds:
        marks = " ".join(
            s.element.called
            + box_text(TickBox(s.mark, s.whose, s.strides, s.strides_out, s.seconds, s.lead))
            for s in one.seen
        )
        note = f"  {one.note}" if one.note else ""
        yield (
            f"{one.round_id:>6}  {day_text(one.day.on, True)}  {one.pair.person.name}, "
            f"{one.pair.horse.name}  {one.exercise.title}  {height_text(one.height_mm, 'feet')}  "
            f"{marks}{note}"
        )


def forgotten_lines(found: Forgotten) -> Iterator[str]:
    """What went, and what could not go."""
    yield f"{found.name} is gone: {counted(found.rounds, 'round')}, {counted(found.tries, 'try')}"
    for horse, tries in found.horses:
        yield f"  with them {counted(tries, 'try')} of {horse}, which no longer count for it"
    yield (
        f"  {counted(found.notes, 'note')} of others no longer name them, "
        f"{counted(found.changes, 'entry')} left the list of changes"
    )
    if found.as_it_was:
        yield (
            f"  the file was not written anew ({found.as_it_was}): its pages were overwritten, and "
            "searched for the name"
        )
    for copy in found.copies:
        yield f"  also from {copy}"
    for place in found.left:
        yield f"  STILL THERE: {place}"
    for copy in found.unreached:
        yield f"  NOT REACHED, {found.name} is still in it: {copy}"
    for copy in found.missing:
        yield f"  NOT THERE, {found.name} is in it if it still exists: {copy}"
    yield (
        "  Copies made otherwise, copies that were moved, exports and printed pages are yours to "
        "destroy."
    )


def figure_lines(history: History, pair: Pair, on: date) -> Iterator[str]:
    """Every leg in figures, then what is compared."""
    rounds = [r for r in history.rounds if r.pair.pair_id == pair.pair_id and r.day.on <= on]
    yield f"{pair.name}: {counted(len(rounds), 'round')}"
    title = ""
    for leg in leg_figures(rounds):
        if leg.exercise != title:
            title = leg.exercise
            yield f"\n{title}"
        yield f"  {leg_text(leg)}"
    yield "\nas asked, all elements"
    for one in comparisons(rounds, on):
        yield f"  {one.words}"
    if trend := trend_words(rounds, on):
        yield f"  {trend}"


def leg_text(leg: ElementFigures) -> str:
    """``2 birch, 5 asked: 23 counted, stride 11'10" of 12'0", spread 0.3``."""
    parts = []
    if leg.counted:
        parts.append(f"{leg.counted} counted")
    if leg.stride_m is not None and leg.planned_m is not None:
        own, planned = (length_text(m, "feet") for m in (leg.stride_m, leg.planned_m))
        parts.append(f"average stride {own}, planned {planned}")
    if leg.inside is not None and leg.outside is not None:
        parts.append(f"in {leg.inside:.1f}, out {leg.outside:.1f} strides")
    if leg.spread is not None:
        parts.append(f"count varies by {leg.spread:.2f}")
    if leg.speed_m_s is not None:
        planned_speed = leg.planned_m_s or 0.0
        parts.append(
            f"{leg.timed} timed, {60 * leg.speed_m_s:.0f} m/min, planned {60 * planned_speed:.0f}"
        )
    asked = f", {leg.asked} asked" if leg.asked is not None else ""
    return f"{leg.called} {leg.name}{asked}: {'; '.join(parts)}"
