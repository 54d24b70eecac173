"""The one file of a record: made, opened, brought up to date, and written in whole steps.

A write is one transaction that takes the file for itself from its first moment (``BEGIN
IMMEDIATE``), so that a second program waits for the first instead of losing. The rollback
journal is deleted at the end of each, and both file and folder are synchronised: what is
acknowledged is on the disk. What is deleted is overwritten with zeros.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from diagram.records.trouble import told, trouble
from diagram.records.versions import APPLICATION_ID, NEWEST, VERSIONS

OLDEST_SQLITE = (3, 37, 0)
"""The first SQLite with strict tables."""

PATIENCE_S = 30.0
"""Seconds that a write waits for another program's to end."""


def usual_file() -> Path:
    """Where the record of this user is kept: ``record.sqlite`` in the user's data folder."""
    from platformdirs import user_data_path

    return user_data_path("tapeline", appauthor=False) / "record.sqlite"


class RecordFile:
    """An open record. Use it in a ``with`` block.

    Raises RejectedError when the file is none, is damaged, or was made by a newer program.
    """

    def __init__(self, path: Path | str, *, version: int = NEWEST) -> None:
        self.path = Path(path)
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            raise trouble("old-sqlite", f"SQLite {sqlite3.sqlite_version} has no strict tables")
        made = _made_empty(self.path)
        try:
            # Transactions are begun and ended by hand: the module's own habits differ by version.
            self.connection = sqlite3.connect(
                self.path, isolation_level=None, timeout=PATIENCE_S, check_same_thread=False
            )
            self._settle()
            self._update(version, made)
        except sqlite3.Error as problem:
            raise told(problem, str(self.path)) from None

    def __enter__(self) -> RecordFile:
        return self

    def __exit__(self, *_: object) -> None:
        self.connection.close()

    def _settle(self) -> None:
        for pragma in (
            "foreign_keys = ON", "secure_delete = ON", "journal_mode = DELETE",
            "synchronous = EXTRA", "fullfsync = ON",
        ):  # fmt: skip
            self.connection.execute(f"PRAGMA {pragma}")

    def _update(self, version: int, made: bool) -> None:
        found = self.pragma("user_version")
        if found > NEWEST:
            raise trouble(
                "newer-record", f"{self.path} was made by a newer program (version {found})",
                "use that one: this one does not know what it would lose",
            )  # fmt: skip
        if self.pragma("application_id") not in (0, APPLICATION_ID) or (
            found == 0 and not made and self._tables()
        ):
            raise trouble("not-a-record", f"{self.path} is a database of something else")
        if 0 < found < version:
            copy_of(self, _free_name(self.path, found))
        for step in range(found, version):
            with self._begun():
                # Another program may have done it while this one waited.
                if self.pragma("user_version") != step:
                    continue
                if step == 0:
                    self.connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                for statement in VERSIONS[step]:
                    self.connection.execute(statement)
                self.connection.execute(f"PRAGMA user_version = {step + 1}")

    def _tables(self) -> list[str]:
        rows = self.connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        return [name for (name,) in rows]

    def pragma(self, name: str) -> int:
        """The whole number that a pragma answers with."""
        return int(self.connection.execute(f"PRAGMA {name}").fetchone()[0])

    @contextlib.contextmanager
    def _begun(self) -> Iterator[None]:
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            yield
            self.connection.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(sqlite3.Error):
                self.connection.execute("ROLLBACK")
            raise

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """All that is written inside happens, or nothing of it. Raises RejectedError."""
        try:
            with self._begun():
                yield
        except sqlite3.Error as problem:
            raise told(problem, str(self.path)) from None

    @contextlib.contextmanager
    def reading(self) -> Iterator[None]:
        """Everything read inside is of one moment. Raises RejectedError."""
        try:
            self.connection.execute("BEGIN")
            try:
                yield
            finally:
                self.connection.execute("COMMIT")
        except sqlite3.Error as problem:
            raise told(problem, str(self.path)) from None

    def rows(self, question: str, *values: Any) -> list[tuple[Any, ...]]:
        """The rows that answer an SQL question."""
        return self.connection.execute(question, values).fetchall()


def _made_empty(path: Path) -> bool:
    """Make an empty file that only its owner can read, where there is none.

    An existing one that others can read is taken away from them. Raises RejectedError.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
            return True
        if path.is_file() and path.stat().st_mode & 0o077:
            path.chmod(0o600)
    except OSError as problem:
        why = (problem.strerror or str(problem)).lower()
        raise trouble("not-writable", f"cannot open {path}: {why}") from None
    return False


def copy_of(record: RecordFile, target: Path) -> Path:
    """A checked copy of the whole record beside it or elsewhere, readable by its owner only.

    Raises RejectedError when there is one already, or when the copy is not whole.
    """
    if target.exists():
        raise trouble("file-exists", f"{target} is there already", "name another file")
    part = target.with_name(f".{os.urandom(8).hex()}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        with contextlib.closing(sqlite3.connect(part)) as copy:
            record.connection.backup(copy)
            if copy.execute("PRAGMA integrity_check").fetchone()[0] != "ok":
                raise trouble("copy-broken", f"the copy {target} did not come out whole")
        with part.open("rb") as file:
            os.fsync(file.fileno())
        part.replace(target)
    except sqlite3.Error as problem:
        raise told(problem, str(target)) from None
    except OSError as problem:
        raise trouble("not-writable", f"cannot write {target}: {problem.strerror}") from None
    finally:
        part.unlink(missing_ok=True)
    return target


def keep_copy(record: RecordFile, target: Path) -> Path:
    """As `copy_of`, and the record remembers where the copy lies. Raises RejectedError."""
    place = str(target.absolute())
    if target.exists():
        raise trouble("file-exists", f"{target} is there already", "name another file")
    # Remembered first: a copy that nothing knows of is worse than a name without a copy.
    with record.writing():
        record.connection.execute(
            "INSERT OR REPLACE INTO copy (path, made) VALUES (?, ?)", (place, now())
        )
    try:
        return copy_of(record, target)
    except BaseException:
        if not target.exists():
            with record.writing():
                record.connection.execute("DELETE FROM copy WHERE path = ?", (place,))
        raise


def _free_name(path: Path, version: int) -> Path:
    """A name for the copy of a version that no earlier copy has."""
    plain = path.with_name(f"{path.name}.version-{version}")
    number, name = 1, plain
    while name.exists():
        number += 1
        name = plain.with_name(f"{plain.name}.{number}")
    return name


def copies_of(path: Path) -> tuple[Path, ...]:
    """The copies that were made beside a record before it was brought up to date."""
    return tuple(sorted(path.parent.glob(f"{path.name}.version-*")))


def now() -> str:
    """The present moment for the list of changes; nothing is ever put in order by it."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
