"""Printed sheets and what is typed in from them: numbered, kept, filled round by round."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct, field
from msgspec.structs import asdict, replace

from diagram.planning import Plan
from diagram.records.changes import Writer
from diagram.records.elements import Asks, exercise_row
from diagram.records.file import RecordFile
from diagram.records.history import read_sheet
from diagram.records.people import alike, pair_of
from diagram.records.trouble import trouble
from diagram.records.values import Element, ExerciseVersion, Hand, Mark, Pair, PrintedSheet, Whose

MOST_PAIRS = 8
"""Pairs on a sheet: more would make the boxes too low for a pencil."""


def new_sheet(
    record: RecordFile,
    plans: Sequence[Plan],
    pairs: Iterable[tuple[str, str]],
    *,
    height_mm: int,
    rounds: int = 3,
    timed: frozenset[str] = frozenset(),
    asks: Asks | None = None,
    changed: Sequence[Asks] = (),
    at: str | None = None,
) -> PrintedSheet:
    """Number a sheet and remember its rows and columns. Raises RejectedError.

    `timed` and `asks` are numbers as the card prints them: where seconds are taken, and what is
    asked otherwise than in the file. They go for the one exercise of a sheet that has only one.
    `changed` says for each exercise which of its fences lie as poles or are left out.
    """
    wanted = list(pairs)
    if len(wanted) > MOST_PAIRS:
        raise trouble("too-many-pairs", f"{len(wanted)} pairs", f"at most {MOST_PAIRS} on a sheet")
    if len({(alike(r), alike(h)) for r, h in wanted}) < len(wanted):
        raise trouble("pair-twice", "a pair stands on the sheet twice", "leave one out")
    if asks is not None or timed:
        _one_exercise(plans)
    with record.writing():
        writer = Writer(record, "add", at)
        arena = plans[0].arena.name or ""
        title = ", ".join(plan.definition.title for plan in plans)
        number = writer.add("sheet", title=title, arena=arena, height_mm=height_mm, rounds=rounds)
        built = changed or [Asks()] * len(plans)
        for place, (plan, lie) in enumerate(zip(plans, built, strict=True), 1):
            own = replace(asks or Asks(), poles=lie.poles, left_out=lie.left_out)
            exercise = exercise_row(writer, plan, height_mm, own)
            writer.add(
                "sheet_exercise", sheet_id=number, place=place, exercise_id=exercise,
                timed=json.dumps(_timed(record, exercise, timed)),
            )  # fmt: skip
        for place, (rider, horse) in enumerate(wanted, 1):
            pair = pair_of(writer, rider, horse)
            writer.add("sheet_row", sheet_id=number, place=place, pair_id=pair)
    return read_sheet(record, number)


def add_rows(record: RecordFile, number: int, pairs: Sequence[tuple[str, str]]) -> None:
    """Pairs written by hand on the blank rows of a sheet. Raises RejectedError."""
    with record.writing():
        writer = Writer(record, "add")
        there = record.rows("SELECT place, pair_id FROM sheet_row WHERE sheet_id = ?", number)
        place = max((p for p, _ in there), default=0)
        for rider, horse in pairs:
            pair = pair_of(writer, rider, horse)
            if pair not in {known for _, known in there}:
                place += 1
                writer.add("sheet_row", sheet_id=number, place=place, pair_id=pair)


def _one_exercise(plans: Sequence[Plan]) -> None:
    if len(plans) > 1:
        raise trouble("sheet", "a place is meant, but there are several exercises", "print one")


def _timed(record: RecordFile, exercise: int, wanted: frozenset[str]) -> list[int]:
    """The places of the elements that are called so. Raises RejectedError."""
    return sorted(place_called(record, exercise, called) for called in wanted)


def place_called(record: RecordFile, exercise: int, called: str) -> int:
    """The place of the element with a number as card and sheet print it. Raises RejectedError."""
    rows = record.rows(
        "SELECT place, tags FROM element WHERE exercise_id = ? ORDER BY place", exercise
    )
    places = {str(json.loads(tags).get("called", place)): int(place) for place, tags in rows}
    if called not in places:
        raise trouble(
            "no-such-element", f"there is no element {called}", f"on the sheet: {', '.join(places)}"
        )
    return places[called]


class TickBox(Struct, frozen=True):
    """What is written at one element of one round; the fields are columns of the record."""

    mark: Mark
    whose: Whose | None = None
    strides: int | None = None
    strides_out: int | None = None
    seconds: float | None = None
    lead: Hand | None = None


class Filled(Struct, frozen=True):
    """One round as written on a sheet: boxes by the place of their element; empty is not seen."""

    pair: Pair
    exercise: ExerciseVersion
    number: int
    height_mm: int
    boxes: dict[int, TickBox] = field(default_factory=dict)
    complete: bool = True
    note: str = ""


def impossible(box: TickBox) -> tuple[str, ...]:
    """What cannot be in one box."""
    found = []
    if box.mark == "not jumped" and (box.strides is not None or box.lead is not None):
        found.append("not jumped, but there are strides or a lead")
    if box.mark == "as asked" and box.whose is not None:
        found.append("as asked, but somebody's miss")
    if box.mark != "as asked" and box.whose is None:
        found.append("a miss, but nobody's: say h, r, b or u")
    return tuple(found)


def doubtful(element: Element, box: TickBox) -> tuple[str, ...]:
    """What is rarely meant together: a tick with another count or lead than was asked.

    The mark stands for the way and the lead for the landing, so both may hold.
    """
    found = []
    if box.mark == "as asked":
        if box.strides is not None and box.strides not in element.counts:
            found.append(f"as asked, but {box.strides} strides")
        if box.strides_out is not None and box.strides_out != element.strides_out_asked:
            found.append(f"as asked, but {box.strides_out} strides out")
        if box.lead is not None and box.lead != element.lead_asked:
            found.append(f"as asked, but landed {box.lead}")
    return tuple(found)


def day_of(
    writer: Writer, on: date, *, seen_by: str = "", arena: str = "", footing: str = "",
    sheet: int | None = None, note: str = "",
) -> int:  # fmt: skip
    """The id of a lesson, one for each date and sheet; a new row where there is none."""
    rows = writer.record.rows(
        "SELECT day_id FROM day WHERE on_date = ? AND sheet IS ?", on.isoformat(), sheet
    )
    if rows:
        return int(rows[0][0])
    return writer.add(
        "day", on_date=on.isoformat(), seen_by=seen_by, arena=arena, footing=footing,
        sheet=sheet, note=note,
    )  # fmt: skip


def keep_round(writer: Writer, day: int, filled: Filled) -> int:
    """Write one round of a day, in place of what was written for it before; returns its id.

    A round that is written the same again changes nothing.
    """
    exercise = filled.exercise
    rows = writer.record.rows(
        "SELECT round_id, height_mm, complete, note FROM round WHERE day_id = ? AND pair_id = ? "
        "AND exercise_id = ? AND number = ?",
        day, filled.pair.pair_id, exercise.exercise_id, filled.number,
    )  # fmt: skip
    said = (filled.height_mm, int(filled.complete), filled.note)
    if rows:
        number = int(rows[0][0])
        if tuple(rows[0][1:]) != said:
            writer.change(
                "round", [number], height_mm=said[0], complete=said[1], note=said[2]
            )  # fmt: skip
    else:
        number = writer.add(
            "round", day_id=day, pair_id=filled.pair.pair_id, exercise_id=exercise.exercise_id,
            number=filled.number, height_mm=said[0], complete=said[1], note=said[2],
        )  # fmt: skip
    for element in exercise.elements:
        _keep_box(writer, number, element, filled)
    return number


def _keep_box(writer: Writer, number: int, element: Element, filled: Filled) -> None:
    key = [number, element.element_id]
    there, box = writer.row("seen", key), filled.boxes.get(element.place)
    if box is None:
        if there is not None:
            writer.remove("seen", key)
        return
    own = filled.height_mm + element.above_mm if element.above_mm else None
    if element.tags.get("pole"):
        own = 0
    values = {**asdict(box), "height_mm": own}
    if there is None:
        writer.add("seen", round_id=key[0], element_id=key[1], **values)
    elif {name: there[name] for name in values} != values:
        writer.change("seen", key, **values)
