"""Forgetting a person: gone from tables, changes, notes, copies and free pages."""

from __future__ import annotations

import json
import shutil
import unicodedata
from datetime import date
from pathlib import Path

import pytest
from filling import clean, sheet_of, sound, write

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.records.changes import Writer, batches, undo
from diagram.records.erase import forget, person_export
from diagram.records.file import RecordFile, copies_of, keep_copy
from diagram.records.history import read_history
from diagram.records.people import add_horse, add_person, corrected

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
    assert sound(crowded)


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


def test_copies_made_on_purpose_are_reached_or_named(crowded: RecordFile, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    names = ("kept", "moved", "spoilt", "table")
    kept, moved, spoilt, table = (keep_copy(crowded, stick / f"{n}.sqlite") for n in names)
    with RecordFile(kept) as copy:
        further = keep_copy(copy, stick / "further.sqlite")
    moved.rename(stick / "elsewhere.sqlite")
    spoilt.write_bytes(spoilt.read_bytes()[:5000])
    table.write_text("rider, horse\n")
    found = forget(crowded, NAME)
    assert set(found.copies) == {str(kept), str(further)}
    for file in (crowded.path, kept, further):
        raw = file.read_bytes()
        assert NAME.encode() not in raw
        assert NAME.lower().encode() not in raw
        assert b"Ida" in raw
    assert [one.split(", made")[0] for one in found.missing] == [str(moved)]
    assert [one.split(":")[0] for one in found.unreached] == [str(spoilt), str(table)]
    assert table.read_text() == "rider, horse\n"
    assert found.left == ()


def test_a_copy_from_before_a_name_was_corrected(record: RecordFile, tmp_path: Path) -> None:
    copy = keep_copy(record, tmp_path / "copy.sqlite")
    with record.writing():
        corrected(Writer(record, "correct"), "person", "Ida", name="Idaline")
        add_person(Writer(record, "add"), "Ida", date(2026, 1, 1))
    assert forget(record, "Idaline").copies == (str(copy),)
    assert b"Ida" not in copy.read_bytes()
    assert [one.name for one in read_history(record).people] == ["Ida", "Jonas", "Tess"]


def test_a_copy_that_could_not_be_made_is_not_remembered(
    record: RecordFile, tmp_path: Path
) -> None:
    with pytest.raises(RejectedError):
        keep_copy(record, tmp_path / "no such folder" / "copy.sqlite")
    assert record.rows("SELECT path FROM copy") == []


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


def test_a_name_within_another_name_and_a_horse_of_that_name(
    record: RecordFile, plans: dict[str, Plan]
) -> None:
    """Ida goes, Ida Thorn and what was noted of her stay, and can still be taken back."""
    with record.writing():
        add_person(Writer(record, "add"), "Ida Thorn", date(2025, 1, 1))
        add_horse(Writer(record, "add"), "Old Ida", date(2025, 1, 1))
    note = "ida thorn led, IDA behind, Old Ida third"
    own = sheet_of(record, plans["every-fence-twice"], ("Jonas", "Bramble"))
    write(record, own, clean(own, 1, note=note), date(2026, 3, 1))
    with record.writing():
        corrected(Writer(record, "correct"), "person", "Ida Thorn", birth_year=2011)
    found = forget(record, "Ida")
    (only,) = read_history(record).rounds
    assert only.note == "ida thorn led, (forgotten) behind, Old Ida third"
    assert any("person.name" in one for one in found.left)
    undone = batches(record)[1]
    assert undone.kind == "correct"
    changed = [row for (row,) in record.rows("SELECT before FROM change WHERE kind = 'correct'")]
    assert json.loads(changed[0])["name"] == "Ida Thorn"


def test_names_with_quotes_and_letters_put_together(
    record: RecordFile, plans: dict[str, Plan]
) -> None:
    """Notes are kept as JSON among the changes, and may be typed with accents of their own."""
    own = sheet_of(record, plans["every-fence-twice"], ("Jonas", "Bramble"))
    for n, name in enumerate(('Zo\u00e9 "Zo" Quick', "Bj\u00f6rk"), 1):
        with record.writing():
            add_person(Writer(record, "add"), name, date(2025, 1, 1))
        apart = unicodedata.normalize("NFD", name).replace(" ", "  ")
        write(record, own, clean(own, n, note=f"after {apart}"), date(2026, 3, 1))
        write(record, own, clean(own, n, note=f"with {name}"), date(2026, 3, 1))
        assert forget(record, name).left == ()
        raw = record.path.read_bytes()
        for one in (name, apart, json.dumps(name, ensure_ascii=False)[1:-1]):
            assert one.encode() not in raw
    assert [one.note for one in read_history(record).rounds] == ["with (forgotten)"] * 2


def test_an_earlier_name_goes_too(record: RecordFile, plans: dict[str, Plan]) -> None:
    own = sheet_of(record, plans["every-fence-twice"], ("Jonas", "Bramble"))
    write(record, own, clean(own, 1, note="Tess led"), date(2026, 3, 1))
    with record.writing():
        corrected(Writer(record, "correct"), "person", "Tess", name="Theresa")
    forget(record, "Theresa")
    assert b"Tess" not in record.path.read_bytes()


@pytest.mark.parametrize(
    "name", ["", "   ", "x" * 41, "Thorn, Ida", "a\u202eb", "a\u200db", "a\x00b"]
)
def test_names_that_are_none(record: RecordFile, name: str) -> None:
    with pytest.raises(RejectedError), record.writing():
        add_person(Writer(record, "add"), name, date(2025, 1, 1))


def test_two_riders_of_one_name(record: RecordFile) -> None:
    for again in ("Ida", " ida ", "IDA"):
        with pytest.raises(RejectedError, match="there is"), record.writing():
            add_person(Writer(record, "add"), again, date(2025, 1, 1))
    with pytest.raises(RejectedError, match="there is"), record.writing():
        corrected(Writer(record, "correct"), "person", "Jonas", name="ida")
    with record.writing():
        corrected(Writer(record, "correct"), "person", "Ida", name="IDA")
        add_person(Writer(record, "add"), "Zo\u00e9", date(2025, 1, 1))
    with pytest.raises(RejectedError, match="there is"), record.writing():
        add_person(Writer(record, "add"), "Zoe\u0301", date(2025, 1, 1))


def test_a_file_that_cannot_be_written_anew_is_overwritten_all_the_same(
    crowded: RecordFile,
) -> None:
    """VACUUM wants room for a second file; what was deleted is gone without it."""
    reading = crowded.connection.execute("SELECT * FROM change")
    reading.fetchone()
    found = forget(crowded, NAME)
    reading.close()
    assert "VACUUM" in found.as_it_was
    assert found.left == ()
    raw = crowded.path.read_bytes()
    assert NAME.encode() not in raw
    assert NAME.lower().encode() not in raw
