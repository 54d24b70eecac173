"""Riders, horses and pairs: looked up by name, added, corrected."""

from __future__ import annotations

import unicodedata
from datetime import date
from typing import Any

from diagram.diagnostics import near
from diagram.records.changes import Writer
from diagram.records.file import RecordFile
from diagram.records.trouble import trouble
from diagram.records.values import History, Pair

LONGEST_NAME = 40


def checked_name(name: str) -> str:
    """A name as it is kept. Raises RejectedError for one that nobody could print or type."""
    kept = unicodedata.normalize("NFC", " ".join(name.split()))
    if not kept or len(kept) > LONGEST_NAME:
        raise trouble("name", f"{name!r} is no name", f"1 to {LONGEST_NAME} characters, one line")
    if not kept.isprintable():
        hint = "leave out what cannot be seen: joiners, and marks of direction"
        raise trouble("name", f"there are hidden characters in {name!r}", hint)
    if "," in kept:
        hint = "a comma stands between rider and horse: write Ida Thorn, not Thorn, Ida"
        raise trouble("name", f"{kept!r} has a comma in it", hint)
    return kept


def alike(name: str) -> str:
    """What names that count as the same have in common: spaces, case and composed letters."""
    return unicodedata.normalize("NFC", " ".join(name.split())).casefold()


def person_id(record: RecordFile, name: str) -> int:
    """The id of a rider. Raises RejectedError with what is near the name."""
    return _found(record, "person", name, "rider")


def horse_id(record: RecordFile, name: str) -> int:
    """The id of a horse. Raises RejectedError with what is near the name."""
    return _found(record, "horse", name, "horse")


def _found(record: RecordFile, table: str, name: str, what: str) -> int:
    rows = record.rows(f"SELECT {table}_id, name FROM {table} ORDER BY name")
    for number, known in rows:
        if alike(known) == alike(name):
            return int(number)
    hint = _or_new(what, near(name, [known for _, known in rows]))
    raise trouble(f"unknown-{what}", f'no {what} is called "{name}"', hint)


def _or_new(what: str, close: str) -> str:
    """What to write for a name that is not there: one that is, or the command that adds it."""
    new = f"`tapeline record {what} NAME` adds one"
    return f"{close}; {new}" if close else new


def add_person(
    writer: Writer, name: str, since: date, *, birth_year: int | None = None, note: str = ""
) -> int:
    """A new rider; returns the id."""
    kept = checked_name(name)
    _unused(writer.record, "person", kept)
    return writer.add(
        "person", name=kept, birth_year=birth_year, since=since.isoformat(), note=note
    )


def add_horse(
    writer: Writer, name: str, since: date, *, size: str = "horse",
    stride_mm: int | None = None, note: str = "",
) -> int:  # fmt: skip
    """A new horse; returns the id."""
    kept = checked_name(name)
    _unused(writer.record, "horse", kept)
    return writer.add(
        "horse", name=kept, size=size, stride_mm=stride_mm, since=since.isoformat(), note=note
    )


def _unused(record: RecordFile, table: str, name: str, but: int = 0) -> None:
    """Refuse a name that another than the row `but` has. Raises RejectedError."""
    rows = record.rows(f"SELECT {table}_id, name FROM {table} WHERE {table}_id <> ?", but)
    taken = {alike(known): known for _, known in rows}
    if alike(name) in taken:
        hint = "add the first letter of the family name, or what tells them apart"
        raise trouble("name-taken", f'there is a "{taken[alike(name)]}" already', hint)


def pair_of(writer: Writer, rider: str, horse: str) -> int:
    """The id of a pair, which is made where the two have not been together before."""
    person, animal = person_id(writer.record, rider), horse_id(writer.record, horse)
    rows = writer.record.rows(
        "SELECT pair_id FROM pair WHERE person_id = ? AND horse_id = ?", person, animal
    )
    return int(rows[0][0]) if rows else writer.add("pair", person_id=person, horse_id=animal)


def find_pair(history: History, rider: str, horse: str) -> Pair:
    """A pair of a record. Raises RejectedError with what is near the names."""
    riders = sorted({pair.person.name for pair in history.pairs})
    if alike(rider) not in [alike(name) for name in riders]:
        hint = _or_new("rider", near(rider, riders))
        raise trouble("unknown-rider", f'no rider is called "{rider}"', hint)
    own = [p for p in history.pairs if alike(p.person.name) == alike(rider)]
    for pair in own:
        if alike(pair.horse.name) == alike(horse):
            return pair
    horses = [pair.horse.name for pair in own]
    raise trouble("unknown-pair", f"{rider} was not seen on {horse}", near(horse, horses))


def corrected(writer: Writer, table: str, who: str, /, **values: Any) -> None:
    """New values for a rider or a horse."""
    number = person_id(writer.record, who) if table == "person" else horse_id(writer.record, who)
    if "name" in values:
        values["name"] = checked_name(values["name"])
        _unused(writer.record, table, values["name"], number)
    writer.change(table, [number], **values)
