"""CSV out and in: the same record, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from filling import clean, dump, sheet_of, sound, write
from hypothesis import given
from hypothesis import strategies as st

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.records.changes import Writer
from diagram.records.exchange import csv_files, read_csv_files
from diagram.records.file import RecordFile
from diagram.records.people import add_person
from diagram.records.spreadsheet import cell, value_of


def _exported(record: RecordFile, folder: Path) -> Path:
    folder.mkdir()
    for name, data in csv_files(record).items():
        (folder / name).write_bytes(data)
    return folder


def test_out_and_in_is_the_same_record(invented_file: Path, tmp_path: Path) -> None:
    with RecordFile(invented_file) as record:
        before = dump(record)
        folder = _exported(record, tmp_path / "csv")
    with RecordFile(tmp_path / "new.sqlite") as other:
        read_csv_files(other, folder)
        assert dump(other) == before
        assert sound(other)


def test_an_export_of_an_older_version_is_read(record: RecordFile, tmp_path: Path) -> None:
    folder = _exported(record, tmp_path / "csv")
    (folder / "copy.csv").unlink()
    (folder / "version.csv").write_text("version\r\n2\r\n", encoding="utf-8")
    with RecordFile(tmp_path / "new.sqlite") as other:
        read_csv_files(other, folder)
        assert dump(other) == dump(record)
    (folder / "version.csv").write_text("version\r\n99\r\n", encoding="utf-8")
    with (
        RecordFile(tmp_path / "newer.sqlite") as other,
        pytest.raises(RejectedError, match="newer"),
    ):
        read_csv_files(other, folder)


@given(st.text(st.characters(codec="utf-8", exclude_characters="\x00")))
def test_any_text_comes_back_and_none_runs(text: str) -> None:
    for free in (True, False):
        written = cell(text, may_be_nothing=free)
        assert not written.startswith(("=", "+", "-", "@", "\t", "\r"))
        out = io.StringIO()
        csv.writer(out).writerow([written, "x"])
        read = next(csv.reader(io.StringIO(out.getvalue(), newline="")))[0]
        assert value_of(read, "TEXT", may_be_nothing=free) == text
    assert value_of(cell(None), "TEXT", may_be_nothing=True) is None


@given(st.floats(min_value=0.001, max_value=1e4))
def test_any_time_comes_back(seconds: float) -> None:
    assert value_of(cell(seconds), "REAL", may_be_nothing=True) == seconds


def test_notes_that_look_like_formulas(
    record: RecordFile, plans: dict[str, Plan], tmp_path: Path
) -> None:
    sheet = sheet_of(record, plans["every-fence-twice"])
    notes = ['=HYPERLINK("http://x")', "+1", "-1", "@sum", "'quoted", "\ttab", "two\r\nlines", ""]
    for number, note in enumerate(notes, 1):
        write(record, sheet, clean(sheet, number, note=note), date(2026, 3, 1))
    with record.writing():
        add_person(Writer(record, "add"), "-Zoe", date(2026, 1, 1), note="=1+1")
    before = dump(record)
    folder = _exported(record, tmp_path / "csv")
    for file in sorted(folder.iterdir()):
        for row in csv.reader(io.StringIO(file.read_text(encoding="utf-8"), newline="")):
            assert not [text for text in row if text.startswith(("=", "+", "-", "@", "\t", "\r"))]
    with RecordFile(tmp_path / "new.sqlite") as other:
        read_csv_files(other, folder)
        assert dump(other) == before


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("horse", ("Bramble", "Comet"), "horse.csv:3:1"),
        ("person", ("person_id", "number"), "the columns are not those of person"),
        ("person", ("2025-01-01", "2025-01-01,more"), "cells where"),
        ("horse", ("1,Bramble", "one,Bramble"), "'one' is no number"),
        ("person", ("Ida", '"Ida'), "this is not CSV"),
    ],
)
def test_a_wrong_folder_is_refused_whole(
    record: RecordFile, tmp_path: Path, table: str, change: tuple[str, str], said: str
) -> None:
    folder = _exported(record, tmp_path / "csv")
    file = folder / f"{table}.csv"
    file.write_text(file.read_text(encoding="utf-8").replace(*change, 1), encoding="utf-8")
    with RecordFile(tmp_path / "new.sqlite") as other:
        with pytest.raises(RejectedError, match=said):
            read_csv_files(other, folder)
        assert other.rows("SELECT count(*) FROM person") == [(0,)]


def test_only_into_an_empty_record(record: RecordFile, tmp_path: Path) -> None:
    folder = _exported(record, tmp_path / "csv")
    with pytest.raises(RejectedError, match="has rows already"):
        read_csv_files(record, folder)
