"""Helpers of these tests: rounds written without a keyboard, tables as text."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from diagram.planning import Plan
from diagram.records.changes import Writer
from diagram.records.file import RecordFile
from diagram.records.sheets import Filled, TickBox, day_of, keep_round, new_sheet
from diagram.records.values import PrintedSheet
from diagram.records.versions import TABLES

ROOT = Path(__file__).parents[2]
ON = date(2026, 3, 31)
"""The day after the invented winters on which pages are looked at."""


def sheet_of(record: RecordFile, plan: Plan, *pairs: tuple[str, str]) -> PrintedSheet:
    return new_sheet(record, [plan], pairs or [("Ida", "Bramble")], height_mm=762)


def clean(sheet: PrintedSheet, number: int = 1, row: int = 0, note: str = "") -> Filled:
    """A round in which everything was as asked."""
    exercise = sheet.exercises[0]
    boxes = {
        e.place: TickBox("as asked", None, e.strides_asked, e.strides_out_asked, None, e.lead_asked)
        for e in exercise.elements
    }
    return Filled(sheet.pairs[row], exercise, number, sheet.height_mm, boxes, True, note)


def write(
    record: RecordFile, sheet: PrintedSheet, filled: Filled, on: date, note: str = ""
) -> None:
    with record.writing():
        writer = Writer(record, "add")
        keep_round(writer, day_of(writer, on, sheet=sheet.number, note=note), filled)


def dump(record: RecordFile) -> str:
    """Every row of every table, as text."""
    return "\n".join(
        f"{table}: {row}" for table in TABLES for row in record.rows(f"SELECT * FROM {table}")
    )


def sound(record: RecordFile) -> bool:
    """Whether the whole file is in order, down to its pages and references."""
    fine = record.rows("PRAGMA integrity_check") == [("ok",)]
    return fine and not record.rows("PRAGMA foreign_key_check")
