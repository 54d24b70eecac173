"""A whole record as a folder of CSV files, one for each table, and back without loss."""

from __future__ import annotations

import csv
import io
import sqlite3
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span
from diagram.records.file import RecordFile
from diagram.records.spreadsheet import cell, value_of
from diagram.records.trouble import told, trouble
from diagram.records.versions import NEW_IN, NEWEST, TABLES

LARGEST_FILE = 64 * 1024 * 1024
VERSION_FILE = "version.csv"


def csv_files(record: RecordFile) -> dict[str, bytes]:
    """Every table as CSV (UTF-8, first line the names of the columns), by file name."""
    with record.reading():
        out = {VERSION_FILE: _csv([["version"], [str(NEWEST)]])}
        for table in TABLES:
            columns = _columns(record, table)
            names = [name for name, _, _ in columns]
            order = ", ".join(_key(record, table))
            rows = record.rows(f"SELECT {', '.join(names)} FROM {table} ORDER BY {order}")
            lines = [
                [cell(v, may_be_nothing=c[2]) for v, c in zip(row, columns, strict=True)]
                for row in rows
            ]
            out[f"{table}.csv"] = _csv([names, *lines])
    return out


def read_csv_files(record: RecordFile, folder: Path) -> dict[str, int]:
    """Put a folder that `csv_files` made into an empty record; rows read of each table.

    Raises RejectedError with every cell that is wrong; then nothing has been written.
    """
    if any(record.rows(f"SELECT count(*) FROM {table}")[0][0] for table in TABLES):
        raise trouble("not-empty", f"{record.path} has rows already", "read into a new --record")
    problems: list[Diagnostic] = []
    sources: dict[str, str] = {}
    version = _version_of(folder)
    tables = {
        table: _read_table(record, table, folder / f"{table}.csv", problems, sources)
        for table in TABLES
        if NEW_IN.get(table, 0) <= version
    }
    if problems:
        raise RejectedError(problems, sources)
    try:
        with record.writing():
            for table, rows in tables.items():
                for line, values in rows:
                    _put(record, table, values, folder / f"{table}.csv", line)
            if wrong := record.rows("PRAGMA foreign_key_check"):
                table = wrong[0][0]
                raise trouble("csv", f"{table}.csv refers to a row that is not there")
    except sqlite3.Error as problem:  # pragma: no cover - `writing` tells it already
        raise told(problem, str(record.path)) from None
    return {table: len(rows) for table, rows in tables.items()}


def _version_of(folder: Path) -> int:
    """The version of the tables in a folder; the newest where it does not say."""
    file = folder / VERSION_FILE
    if not file.is_file():
        return NEWEST
    lines = text_of(file).split()
    found = int(lines[1]) if len(lines) == 2 and lines[1].isdigit() else NEWEST
    if found > NEWEST:
        raise trouble("newer-record", f"{folder} was written by a newer program", "use that one")
    return found


def _put(
    record: RecordFile, table: str, values: dict[str, Any], file: Path, line: int
) -> None:  # fmt: skip
    names, marks = ", ".join(values), ", ".join("?" * len(values))
    try:
        record.connection.execute(
            f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(values.values())
        )
    except sqlite3.IntegrityError as problem:
        span = Span(str(file), line, 1, line, 2)
        found = Diagnostic("csv", Severity.ERROR, f"this row is refused: {problem}", span)
        raise RejectedError([found], {}) from None


def _columns(record: RecordFile, table: str) -> list[tuple[str, str, bool]]:
    """Name, kind, and whether there may be nothing, of every column."""
    return [
        (name, kind, not needed and not key)
        for _, name, kind, needed, _, key in record.rows(f"PRAGMA table_info({table})")
    ]


def _key(record: RecordFile, table: str) -> list[str]:
    found = record.rows(f"PRAGMA table_info({table})")
    return [row[1] for row in sorted(found, key=lambda row: row[5]) if row[5]]


def _csv(lines: Iterable[Iterable[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(lines)
    return out.getvalue().encode()


def _read_table(
    record: RecordFile, table: str, file: Path, problems: list[Diagnostic], sources: dict[str, str]
) -> list[tuple[int, dict[str, Any]]]:
    name = str(file)
    try:
        text = text_of(file)
    except RejectedError as failure:
        problems += failure.diagnostics
        return []
    sources[name] = text
    columns = {column: (kind, free) for column, kind, free in _columns(record, table)}
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, dict[str, Any]]] = []
    heads: list[str] = []
    try:
        for line in reader:
            if not heads:
                heads = line
                if sorted(heads) != sorted(columns):
                    message = f"the columns are not those of {table}"
                    problems.append(_wrong(name, 1, message, f"write {','.join(columns)}"))
                    return []
                continue
            if len(line) != len(heads):
                message = f"{len(line)} cells where {len(heads)} are wanted"
                problems.append(_wrong(name, reader.line_num, message))
                continue
            values: dict[str, Any] = {}
            for column, written in zip(heads, line, strict=True):
                kind, free = columns[column]
                try:
                    values[column] = value_of(written, kind, may_be_nothing=free)
                except ValueError:
                    message = f"{column}: {written!r} is no number"
                    problems.append(_wrong(name, reader.line_num, message))
            rows.append((reader.line_num, values))
    except csv.Error as problem:
        problems.append(_wrong(name, reader.line_num, f"this is not CSV: {problem}"))
    return rows


def text_of(file: Path) -> str:
    """A file of a spreadsheet as text. Raises RejectedError."""
    try:
        data = file.read_bytes()
    except OSError as problem:
        why = (problem.strerror or str(problem)).lower()
        raise trouble("unreadable-file", f"cannot read {file}: {why}") from None
    if len(data) > LARGEST_FILE:
        raise trouble("file-too-large", f"{file} is larger than {LARGEST_FILE >> 20} MB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise trouble("not-text", f"{file} is no UTF-8 text", "save it as CSV, UTF-8") from None


def _wrong(name: str, line: int, message: str, hint: str = "") -> Diagnostic:
    return Diagnostic("csv", Severity.ERROR, message, Span(name, line, 1, line, 2), hint)
