"""Forgetting a person: gone from tables, changes, notes, copies and free pages."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path

import pytest
from filling import clean, sheet_of, write

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.records.changes import Writer, batches, undo
from diagram.records.erase import forget, person_export
from diagram.records.file import RecordFile, copies_of
from diagram.records.history import read_history
from diagram.records.people import add_person, corrected

NAME = "Wilhelmina"


@pytest.fixture
def crowded(record: RecordFile, plans: dict[str, Plan]) -> RecordFile:
    """Somebody who rode, was renamed, whose rounds were corrected, and whom notes name."""
    with record.writing():
        add_person(Writer(record, "add"), "Wilma", date(2025, 1, 1), note=f"{NAME} in full")
        corrected(Writer(record, "correct"), "person", "Wilma", name=NAME)
    plan = plans["every-fence-twice"]
    own = sheet_of(record, plan, (NAME, "Bramble"), ("Ida", "Bramble"))
    for number in (1, 2):
        write(record, own, clean(own, number), date(2026, 3, 1), note=f"with {NAME.lower()}")
        write(record, own, clean(own, number, 1, f"behind {NAME}"), date(2026, 3, 1))
    write(record, own, clean(own, 3), date(2026, 3, 1))
    undo(record)
    with record.writing():
        corrected(Writer(record, "correct"), "horse", "Bramble", note=f"{NAME}'s favourite")
    return record


def test_nothing_is_left(crowded: RecordFile) -> None:
    raw = crowded.path.read_bytes()
    assert raw.count(NAME.encode()) > 10
    found = forget(crowded, "wilhelmina")
    raw = crowded.path.read_bytes()
    assert NAME.encode() not in raw
    assert NAME.lower().encode() not in raw
    assert found.left == ()
    assert (found.pairs, found.rounds, found.tries) == (1, 2, 16)
    assert found.horses == (("Bramble", 16),)
    assert found.notes >= 4
    assert crowded.sound()


def test_what_is_another_persons_stays(crowded: RecordFile) -> None:
    forget(crowded, NAME)
    history = read_history(crowded)
    assert [pair.name for pair in history.pairs] == ["Ida and Bramble"]
    assert [one.note for one in history.rounds] == ["behind (forgotten)"] * 2
    assert {len(one.seen) for one in history.rounds} == {8}


def test_what_was_forgotten_cannot_be_undone(crowded: RecordFile) -> None:
    forget(crowded, NAME)
    assert batches(crowded)[0].kind == "forget"
    with pytest.raises(RejectedError, match="cannot come back"):
        undo(crowded)


def test_copies_from_before_a_migration_are_reached(tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite"
    shutil.copy(Path(__file__).parent / "old" / "version-1.sqlite", path)
    with RecordFile(path) as record:
        (copy,) = copies_of(path)
        assert b"Ida" in copy.read_bytes()
        found = forget(record, "Ida")
    assert found.copies == (str(copy),)
    assert found.left == ()
    for file in (path, copy):
        assert b"Ida" not in file.read_bytes()
        assert b"Jonas" in file.read_bytes()


def test_a_name_that_is_something_elses_is_said(record: RecordFile) -> None:
    with record.writing():
        add_person(Writer(record, "add"), "Comet", date(2026, 1, 1))
    found = forget(record, "Comet")
    assert "horse.name" in " ".join(found.left)


def test_one_persons_data_names_no_other(crowded: RecordFile) -> None:
    with crowded.writing():
        crowded.connection.execute("UPDATE round SET note = 'faster than Ida'")
    found = person_export(crowded, NAME)
    assert found["rider"]["name"] == NAME
    assert [len(one["seen"]) for one in found["rounds"]] == [8, 8]
    assert "Ida" not in json.dumps(found)
