"""The file: its owner's only, whole after anything, brought up to date with a copy first."""

from __future__ import annotations

import shutil
import sqlite3
import stat
from datetime import date
from pathlib import Path

import pytest
from filling import clean, dump, sheet_of, sound, write

from diagram.diagnostics import RejectedError
from diagram.planning import Plan
from diagram.records.changes import Writer, batches, undo
from diagram.records.file import RecordFile, copies_of, copy_of
from diagram.records.history import read_history
from diagram.records.people import add_person, corrected
from diagram.records.versions import NEWEST

OLD = Path(__file__).parent / "old"


def test_only_its_owner_can_read_it(tmp_path: Path) -> None:
    path = tmp_path / "folder" / "record.sqlite"
    with RecordFile(path):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.chmod(0o644)
    with RecordFile(path) as record:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        copy = copy_of(record, tmp_path / "copy.sqlite")
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_settings_that_a_write_rests_on(record: RecordFile) -> None:
    for pragma, value in (("foreign_keys", 1), ("synchronous", 3), ("secure_delete", 1)):
        assert record.pragma(pragma) == value
    assert record.rows("PRAGMA journal_mode") == [("delete",)]


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO person (name, since) VALUES ('Ida', '2026-01-01')",
        "INSERT INTO person (name, since) VALUES ('Zoe', 'last year')",
        "INSERT INTO person (name, since, birth_year) VALUES ('Zoe', '2026-01-01', 'young')",
        "INSERT INTO pair (person_id, horse_id) VALUES (1, 99)",
        "INSERT INTO horse (name, size, since) VALUES ('X', 'huge', '2026-01-01')",
    ],
)
def test_the_tables_refuse(record: RecordFile, statement: str) -> None:
    with pytest.raises(RejectedError), record.writing():
        record.connection.execute(statement)
    assert sound(record)


def test_a_mark_and_whose_miss_agree(record: RecordFile, plans: dict[str, Plan]) -> None:
    sheet = sheet_of(record, plans["every-fence-twice"])
    write(record, sheet, clean(sheet), date(2026, 3, 1))
    with pytest.raises(RejectedError), record.writing():
        record.connection.execute("UPDATE seen SET mark = 'not as asked'")
    with pytest.raises(RejectedError), record.writing():
        record.connection.execute("UPDATE seen SET whose = 'horse'")


@pytest.mark.parametrize("old", sorted(OLD.glob("*.sqlite")), ids=lambda path: path.stem)
def test_older_files_are_brought_up_to_date(old: Path, tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite"
    shutil.copy(old, path)
    with sqlite3.connect(path) as before:
        rows = before.execute("SELECT count(*) FROM seen").fetchone()
    before.close()
    with RecordFile(path) as record:
        assert record.pragma("user_version") == NEWEST
        assert sound(record)
        assert record.rows("SELECT count(*) FROM seen") == [rows]
        history = read_history(record)
        assert [pair.name for pair in history.pairs] == ["Ida and Bramble", "Jonas and Comet"]
        assert history.rounds[0].seen[0].mark == "as asked"
        assert batches(record)[0].words.startswith("add")
        assert undo(record).kind == "add"
    (copy,) = copies_of(path)
    assert copy.read_bytes() == old.read_bytes() or sqlite_same(copy, old)
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def sqlite_same(one: Path, other: Path) -> bool:
    dumps = []
    for path in (one, other):
        connection = sqlite3.connect(path)
        dumps.append(list(connection.iterdump()))
        connection.close()
    return dumps[0] == dumps[1]


def test_every_older_version_is_kept() -> None:
    assert [path.stem for path in sorted(OLD.glob("*.sqlite"))] == [
        f"version-{n}" for n in range(1, NEWEST)
    ]


def test_a_migration_that_fails_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from diagram.records import file

    path = tmp_path / "record.sqlite"
    shutil.copy(OLD / "version-1.sqlite", path)
    first, second, *rest = file.VERSIONS
    monkeypatch.setattr(file, "VERSIONS", (first, (*second[:3], "CREATE TABLE oh no"), *rest))
    with pytest.raises(RejectedError):
        RecordFile(path)
    assert sqlite_same(path, OLD / "version-1.sqlite")


@pytest.mark.parametrize("what", ["newer", "other database", "no database", "cut off"])
def test_what_is_no_record_is_left_alone(tmp_path: Path, what: str) -> None:
    path = tmp_path / "record.sqlite"
    if what == "no database":
        path.write_text("rider, horse\n" * 500)
    elif what == "other database":
        with sqlite3.connect(path) as other:
            other.execute("CREATE TABLE invoice (number)")
        other.close()
    else:
        RecordFile(path).connection.close()
        if what == "newer":
            with sqlite3.connect(path) as other:
                other.execute(f"PRAGMA user_version = {NEWEST + 1}")
            other.close()
        else:
            path.write_bytes(path.read_bytes()[:9000])
    before = path.read_bytes()
    with pytest.raises(RejectedError), RecordFile(path) as record:
        read_history(record)
    assert path.read_bytes() == before


def test_a_full_disk_leaves_the_old_data_whole(record: RecordFile, plans: dict[str, Plan]) -> None:
    sheet = sheet_of(record, plans["every-fence-twice"])
    write(record, sheet, clean(sheet), date(2026, 3, 1))
    before = dump(record)
    pages = record.rows("PRAGMA page_count")[0][0]
    record.connection.execute(f"PRAGMA max_page_count = {pages}")
    said = None
    for number in range(2, 90):
        before = dump(record)
        try:
            write(record, sheet, clean(sheet, number), date(2026, 3, 1), note="x" * 2000)
        except RejectedError as problem:
            said = str(problem)
            break
    assert said is not None
    assert "no room left on the disk" in said
    assert "nothing was changed" in said
    assert dump(record) == before
    assert sound(record)


def test_undo_goes_back_action_by_action(record: RecordFile, plans: dict[str, Plan]) -> None:
    states = [dump_without_changes(record)]
    sheet = sheet_of(record, plans["every-fence-twice"])
    states.append(dump_without_changes(record))
    write(record, sheet, clean(sheet), date(2026, 3, 1))
    states.append(dump_without_changes(record))
    with record.writing():
        corrected(Writer(record, "correct"), "person", "Ida", name="Ida B.", note="=cmd")
    for state in reversed(states):
        undo(record)
        assert dump_without_changes(record) == state
    undo(record)
    with pytest.raises(RejectedError, match="nothing to undo"):
        undo(record)
    assert sound(record)


def dump_without_changes(record: RecordFile) -> str:
    return "\n".join(line for line in dump(record).splitlines() if not line.startswith("change"))


def test_names_are_not_taken_twice(record: RecordFile) -> None:
    with pytest.raises(RejectedError, match="already"), record.writing():
        add_person(Writer(record, "add"), " ida ", date(2026, 1, 1))
    with pytest.raises(RejectedError, match="is no name"), record.writing():
        add_person(Writer(record, "add"), "\n", date(2026, 1, 1))
