"""What was built into a folder: which file, from which content, with which checksum.

One line of JSON for each step, so that a run that is killed loses nothing: what was begun and
not finished is begun anew, and what was finished is not done again. A file that stands there
without a line here is not ours, and is left alone.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import IO

from msgspec import Struct

from diagram.library.content import digest_of
from diagram.writers.files import write_bytes

RECORD_FILE = "tapeline-built.jsonl"
ALONE = " of "
"""In the key of a file that was made by itself, not with its library: what of which exercise."""


class BuiltFile(Struct, frozen=True):
    """One result: the key of its content, and the checksum of the file; None if only begun."""

    key: str
    checksum: str | None


class Record:
    """The results in one folder. Use it as a context: it holds its file open."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._file = folder / RECORD_FILE
        self._built = dict(_read(self._file))
        self._log: IO[str] | None = None

    def __enter__(self) -> Record:
        self.folder.mkdir(parents=True, exist_ok=True)
        self._log = self._file.open("a", encoding="utf-8")
        return self

    def __exit__(self, *_: object) -> None:
        if self._log:
            self._log.close()
            self._log = None
        lines = [_line(name, self._built[name]) for name in sorted(self._built)]
        write_bytes(self._file, "".join(lines).encode())

    def is_done(self, name: str, key: str) -> bool:
        """Whether a file was built from this content and is still as it was built."""
        built = self._built.get(name)
        if built is None or built.key != key or built.checksum is None:
            return False
        return self._checksum(name) == built.checksum

    def not_ours(self, name: str) -> str:
        """Why a file there must not be written over; empty where it may."""
        path = self.folder / name
        if path.is_symlink():
            return "is a link, which is not followed"
        if not path.exists():
            return ""
        if not path.is_file():
            return "is no file"
        built = self._built.get(name)
        if built is None:
            return "was not written by this command"
        if built.checksum is not None and self._checksum(name) != built.checksum:
            return "was changed since it was written"
        return ""

    def key_of(self, name: str) -> str | None:
        """The key under which a file was built; None where it was not built here."""
        built = self._built.get(name)
        return built.key if built else None

    def begin(self, name: str, key: str) -> None:
        """Note that a file is about to be written."""
        self._note(name, BuiltFile(key, None))

    def finish(self, name: str, key: str, checksum: str) -> None:
        """Note that a file was written."""
        self._note(name, BuiltFile(key, checksum))

    def left_over(self, names: Iterable[str]) -> tuple[str, ...]:
        """Results of earlier runs that none of `names` is: their exercise is gone."""
        ours = {name for name, built in self._built.items() if ALONE not in built.key}
        return tuple(sorted(ours - set(names)))

    def _checksum(self, name: str) -> str | None:
        try:
            return digest_of(self.folder / name)
        except OSError:
            return None

    def _note(self, name: str, built: BuiltFile) -> None:
        self._built[name] = built
        assert self._log is not None
        self._log.write(_line(name, built))
        self._log.flush()


def _line(name: str, built: BuiltFile) -> str:
    values = {"file": name, "key": built.key, "sha256": built.checksum}
    return json.dumps(values, ensure_ascii=False) + "\n"


def _read(file: Path) -> Iterable[tuple[str, BuiltFile]]:
    """The lines that are whole; the last one may have been cut off."""
    try:
        lines = file.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return
    for line in lines:
        try:
            values = json.loads(line)
            yield values["file"], BuiltFile(values["key"], values["sha256"])
        except (ValueError, KeyError, TypeError):
            continue
