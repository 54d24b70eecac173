"""One person's data: all of it in one export, or gone for good from everywhere in the record.

Forgetting reaches the tables, the list of changes (which holds what was there before), notes
that name the person, sheets, the copies that lie beside the file and those made on purpose, where
they still lie; then each file is written anew, so that no free page keeps a name, and searched
for it byte by byte.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from pathlib import Path
from typing import Any

from msgspec import Struct

from diagram.records.changes import Writer
from diagram.records.file import PATIENCE_S, RecordFile, copies_of
from diagram.records.mentions import FORGOTTEN, mention_of, places_with, redact, redacted
from diagram.records.people import person_id
from diagram.records.versions import APPLICATION_ID


class Forgotten(Struct, frozen=True):
    """What went. `left` are places where the name still stands, because it is something else's.

    `copies` are those that the person went from too, `unreached` those that could not be opened,
    each with why; `missing` are copies made once that do not lie there now, with when. `as_it_was`
    says why the file could not be written anew; what was in its pages is overwritten all the same.
    """

    name: str
    pairs: int
    rounds: int
    tries: int
    horses: tuple[tuple[str, int], ...]
    notes: int
    changes: int
    copies: tuple[str, ...]
    unreached: tuple[str, ...]
    missing: tuple[str, ...]
    left: tuple[str, ...]
    as_it_was: str


def forget(record: RecordFile, name: str, at: str | None = None) -> Forgotten:
    """Remove a rider for good. Raises RejectedError for a name that is not there."""
    number = person_id(record, name)
    kept = str(record.rows("SELECT name FROM person WHERE person_id = ?", number)[0][0])
    horses = tuple(
        record.rows(
            "SELECT horse.name, count(seen.element_id) FROM pair JOIN horse USING (horse_id) "
            "LEFT JOIN round USING (pair_id) LEFT JOIN seen USING (round_id) "
            "WHERE person_id = ? GROUP BY horse.horse_id ORDER BY horse.name", number,
        )
    )  # fmt: skip
    rounds = record.rows(
        "SELECT count(*) FROM round JOIN pair USING (pair_id) WHERE person_id = ?", number
    )[0][0]
    names = {kept, *_earlier_names(record.connection, number)}
    with record.writing():
        notes, changes = _erase(record.connection, number, names)
        # The note that something was forgotten says neither who nor what.
        writer = Writer(record, "forget", at)
        writer.record.connection.execute(
            "INSERT INTO change (at, kind, table_name, row_key, batch) VALUES (?, ?, ?, ?, ?)",
            (writer.at, "forget", "person", "[]", writer.batch),
        )
    as_it_was = _rewrite(record.connection)
    reached, copies, unreached, missing = _forget_in_copies(record, number, kept, names)
    left = tuple(
        f"{file}: {place}" for file in (record.path, *reached) for place in places_with(file, kept)
    )
    tries = sum(count for _, count in horses)
    return Forgotten(
        kept, len(horses), rounds, tries, horses, notes, changes, copies, unreached, missing, left,
        as_it_was,
    )  # fmt: skip


def _earlier_names(connection: sqlite3.Connection, number: int) -> set[str]:
    """What the person was called before the name was corrected."""
    rows = connection.execute("SELECT before, after FROM change WHERE table_name = 'person'")
    found = [json.loads(text) for row in rows for text in row if text]
    return {str(row["name"]) for row in found if row["person_id"] == number}


def _forget_in_copies(
    record: RecordFile, number: int, name: str, names: set[str]
) -> tuple[list[Path], tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Copies reached, those the person was in, those not reached with why, those not there.

    A copy may have been copied on: those are followed too.
    """
    reached: list[Path] = []
    copies, unreached, missing = [], [], []
    done = {record.path.resolve()}
    waiting = _copies_known(record.connection, record.path)
    while waiting:
        copy, made = waiting.pop(0)
        if copy.resolve() in done:
            continue
        done.add(copy.resolve())
        if not copy.is_file():
            missing.append(f"{copy}, made {made[:10]}")
            continue
        try:
            was_there, further = _forget_in_copy(copy, number, name, names)
        except sqlite3.Error as problem:
            unreached.append(f"{copy}: {problem}")
            continue
        reached.append(copy)
        copies += [str(copy)] if was_there else []
        waiting += further
    return reached, tuple(copies), tuple(unreached), tuple(missing)


def _copies_known(connection: sqlite3.Connection, path: Path) -> list[tuple[Path, str]]:
    """Copies beside a record from before it was brought up to date, and those made on purpose."""
    beside = [(copy, "") for copy in copies_of(path)]
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
    if "copy" not in tables:
        return beside
    rows = connection.execute("SELECT path, made FROM copy ORDER BY copy_id")
    return [*beside, *((Path(place), made) for place, made in rows)]


def _erase(connection: sqlite3.Connection, number: int, names: set[str]) -> tuple[int, int]:
    """Delete a person's rows and every mention; notes changed and changes deleted."""
    own = _own_rows(connection, number)
    changes = 0
    for key, table, before, after in list(
        connection.execute("SELECT change_id, table_name, before, after FROM change")
    ):
        rows = [json.loads(text) for text in (before, after) if text]
        if any(_belongs(table, row, own) for row in rows):
            connection.execute("DELETE FROM change WHERE change_id = ?", (key,))
            changes += 1
    connection.execute("DELETE FROM person WHERE person_id = ?", (number,))
    others = {name for table in ("person", "horse")
              for (name,) in connection.execute(f"SELECT name FROM {table}")}  # fmt: skip
    return redact(connection, mention_of(names, others)), changes


def _own_rows(connection: sqlite3.Connection, number: int) -> dict[str, set[int]]:
    """Ids of the person's pairs and rounds, those of the past included."""
    pairs = {n for (n,) in connection.execute("SELECT pair_id FROM pair WHERE person_id = ?",
                                              (number,))}  # fmt: skip
    past = "SELECT coalesce(after, before) FROM change WHERE table_name = ?"
    for (text,) in connection.execute(past, ("pair",)):
        row = json.loads(text)
        if row["person_id"] == number:
            pairs.add(row["pair_id"])
    rounds = {n for n, pair in connection.execute("SELECT round_id, pair_id FROM round")
              if pair in pairs}  # fmt: skip
    for (text,) in connection.execute(past, ("round",)):
        row = json.loads(text)
        if row["pair_id"] in pairs:
            rounds.add(row["round_id"])
    return {"person": {number}, "pair": pairs, "round": rounds}


def _belongs(table: str, row: dict[str, Any], own: dict[str, set[int]]) -> bool:
    return (
        (table in ("person", "pair") and row.get("person_id") in own["person"])
        or (table in ("round", "sheet_row") and row.get("pair_id") in own["pair"])
        or (table == "seen" and row.get("round_id") in own["round"])
    )


def _rewrite(connection: sqlite3.Connection) -> str:
    """Write a file anew, so that no free page keeps anything; why, where that cannot be done."""
    try:
        connection.execute("PRAGMA secure_delete = ON")
        connection.execute("VACUUM")
    except sqlite3.Error as problem:
        return str(problem)
    return ""


def _forget_in_copy(
    copy: Path, number: int, name: str, names: set[str]
) -> tuple[bool, list[tuple[Path, str]]]:
    """The same in a copy of any version: whether the person was in it, and copies made of it.

    There the person may still have an earlier name: of `names`, with the same number.
    Raises sqlite3.Error where it cannot be opened or written, or is no record.
    """
    uri = f"{copy.resolve().as_uri()}?mode=rw"
    with contextlib.closing(
        sqlite3.connect(uri, uri=True, isolation_level=None, timeout=PATIENCE_S)
    ) as connection:
        if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
            raise sqlite3.DatabaseError("this is no record now")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA secure_delete = ON")
        there = [
            (key, called)
            for key, called in connection.execute("SELECT person_id, name FROM person")
            if called == name or (key == number and called in names)
        ]
        connection.execute("BEGIN IMMEDIATE")
        for key, called in [*there, (-1, name)]:
            _erase(connection, key, {called, name})
        connection.execute("COMMIT")
        _rewrite(connection)
        return bool(there), _copies_known(connection, copy)


def person_export(record: RecordFile, name: str) -> dict[str, Any]:
    """Everything the record has about one rider, and nothing about any other."""
    number = person_id(record, name)
    with record.reading():
        person = Writer(record, "add").row("person", [number])
        rounds = record.rows(
            "SELECT round_id, on_date, arena, horse.name, exercise.title, number, height_mm, "
            "complete, round.note FROM round JOIN day USING (day_id) JOIN pair USING (pair_id) "
            "JOIN horse USING (horse_id) JOIN exercise USING (exercise_id) "
            "WHERE person_id = ? ORDER BY on_date, round_id", number,
        )  # fmt: skip
        own = person_name(person)
        others = {n for (n,) in record.rows("SELECT name FROM person") if n != own}
        names = ("date", "arena", "horse", "exercise", "round", "height mm", "complete", "note")
        found = [
            dict(zip(names, row[1:], strict=True)) | {"seen": _seen_of(record, row[0])}
            for row in rounds
        ]
    for one in found:
        # A note about this rider may name another, whose data this is not.
        if others:
            mention = mention_of(others, {own})
            one["note"] = redacted(one["note"], mention).replace(FORGOTTEN, "…")
    return {"rider": person, "rounds": found}


def person_name(row: dict[str, Any] | None) -> str:
    """The name in a row of the table of people."""
    return str(row["name"]) if row else ""


def _seen_of(record: RecordFile, round_id: int) -> list[dict[str, Any]]:
    names = ("place", "fence", "mark", "whose", "strides", "strides out", "seconds", "lead",
             "height mm")  # fmt: skip
    rows = record.rows(
        "SELECT place, name, mark, whose, strides, strides_out, seconds, lead, seen.height_mm "
        "FROM seen JOIN element USING (element_id) WHERE round_id = ? ORDER BY place", round_id,
    )  # fmt: skip
    return [dict(zip(names, row, strict=True)) for row in rows]
