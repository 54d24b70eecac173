"""Every write is noted with what was there before, so that it can be looked at and undone."""

from __future__ import annotations

import json
from typing import Any, Literal

from msgspec import Struct

from diagram.records.file import RecordFile, now
from diagram.records.trouble import trouble

Kind = Literal["add", "correct", "undo", "import", "forget"]
Row = dict[str, Any]

KEYS: dict[str, tuple[str, ...]] = {
    "person": ("person_id",), "horse": ("horse_id",), "pair": ("pair_id",),
    "exercise": ("exercise_id",), "element": ("element_id",), "day": ("day_id",),
    "round": ("round_id",), "seen": ("round_id", "element_id"), "sheet": ("sheet_id",),
    "sheet_row": ("sheet_id", "place"), "sheet_exercise": ("sheet_id", "place"),
    "yard": ("yard_id",),
}  # fmt: skip
"""The columns that name one row of each table."""


class Writer:
    """Writes rows of one action, inside a transaction, and notes each.

    All rows of one writer have the same batch: they are undone together.
    """

    def __init__(self, record: RecordFile, kind: Kind, at: str | None = None) -> None:
        self.record, self.kind, self.at = record, kind, at or now()
        newest = record.rows("SELECT coalesce(max(batch), 0) FROM change")[0][0]
        self.batch = int(newest) + 1

    def add(self, table: str, **values: Any) -> int:
        """A new row; returns its id (0 where the table has none)."""
        names = ", ".join(values)
        marks = ", ".join("?" * len(values))
        done = self.record.connection.execute(
            f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(values.values())
        )
        keys = KEYS[table]
        row_id = int(done.lastrowid or 0) if len(keys) == 1 else 0
        key = [values.get(name, row_id) for name in keys]
        self._note(table, key, None, self.row(table, key))
        return int(key[0]) if len(keys) == 1 else 0

    def change(self, table: str, key: list[Any], **values: Any) -> None:
        """New values for some columns of a row."""
        before = self.row(table, key)
        sets = ", ".join(f"{name} = ?" for name in values)
        self.record.connection.execute(
            f"UPDATE {table} SET {sets} WHERE {_where(table)}", (*values.values(), *key)
        )
        self._note(table, key, before, self.row(table, key))

    def remove(self, table: str, key: list[Any]) -> None:
        """Delete a row; what hangs on it must have been deleted before."""
        before = self.row(table, key)
        self.record.connection.execute(f"DELETE FROM {table} WHERE {_where(table)}", key)
        self._note(table, key, before, None)

    def row(self, table: str, key: list[Any]) -> Row | None:
        """One row as a dictionary, or None."""
        found = self.record.connection.execute(f"SELECT * FROM {table} WHERE {_where(table)}", key)
        names = [column[0] for column in found.description]
        values = found.fetchone()
        return dict(zip(names, values, strict=True)) if values else None

    def _note(self, table: str, key: list[Any], before: Row | None, after: Row | None) -> None:
        self.record.connection.execute(
            "INSERT INTO change (at, kind, table_name, row_key, before, after, batch) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            (self.at, self.kind, table, _json(key), before and _json(before),
             after and _json(after), self.batch),
        )  # fmt: skip


def _where(table: str) -> str:
    return " AND ".join(f"{name} = ?" for name in KEYS[table])


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


class Batch(Struct, frozen=True):
    """What was done at one go: its number, when, how, and so many rows of each table."""

    number: int
    at: str
    kind: Kind
    rows: tuple[tuple[str, int], ...]
    undone: bool

    @property
    def words(self) -> str:
        """``add: 1 round, 8 seen``."""
        rows = ", ".join(f"{count} {table.replace('_', ' ')}" for table, count in self.rows)
        return f"{self.kind}: {rows}" + (" (undone)" if self.undone else "")


def batches(record: RecordFile, most: int = 20) -> tuple[Batch, ...]:
    """The latest actions, newest first."""
    undone = {n for (n,) in record.rows("SELECT undoes FROM change WHERE undoes IS NOT NULL")}
    numbers = record.rows("SELECT DISTINCT batch FROM change ORDER BY batch DESC LIMIT ?", most)
    out = []
    for (number,) in numbers:
        at, kind = record.rows("SELECT at, kind FROM change WHERE batch = ? LIMIT 1", number)[0]
        rows = record.rows(
            "SELECT table_name, count(*) FROM change WHERE batch = ? GROUP BY table_name "
            "ORDER BY min(change_id)", number,
        )  # fmt: skip
        out.append(Batch(number, at, kind, tuple(rows), number in undone))
    return tuple(out)


def undo(record: RecordFile) -> Batch:
    """Take the latest action back that can be and is not yet; undoing is itself noted.

    Raises RejectedError when there is none.
    """
    with record.writing():
        again = [b for b in batches(record, 1_000_000) if b.kind != "undo" and not b.undone]
        if not again or again[0].kind == "forget":
            why = "what was forgotten cannot come back" if again else ""
            raise trouble("nothing-to-undo", "there is nothing to undo", why)
        taken = again[0]
        writer = Writer(record, "undo")
        notes = record.rows(
            "SELECT table_name, row_key, before, after FROM change WHERE batch = ? "
            "ORDER BY change_id DESC", taken.number,
        )  # fmt: skip
        for table, key_text, before, after in notes:
            _take_back(writer, table, json.loads(key_text), before, after)
        record.connection.execute(
            "UPDATE change SET undoes = ? WHERE batch = ?", (taken.number, writer.batch)
        )
    return taken


def _take_back(
    writer: Writer, table: str, key: list[Any], before: str | None, after: str | None
) -> None:
    if before is None:
        writer.remove(table, key)
    elif after is None:
        writer.add(table, **json.loads(before))
    else:
        writer.change(table, key, **json.loads(before))
