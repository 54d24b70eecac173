"""Entries kept from one run to the next, by content: listing a library plans nothing twice.

What is kept may be lost or damaged at any time; then the exercise is read again. Each value lies
under a checksum of its key and its text, so that a changed figure is none.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

FOLDER = "TAPELINE_CACHE"
"""Environment variable that names another folder, or ``off`` for none."""


LARGEST = 256 * 1024 * 1024
"""Bytes; twenty thousand exercises take less."""


class Kept:
    """Values by key in one file of a cache folder, a line each; `save` writes what is new.

    They are held as the text they are written as, and read when they are asked for: what a
    thousand exercises came to takes a tenth of the room so.
    """

    def __init__(self, name: str) -> None:
        folder = _folder()
        self._file = folder / f"{name}.kept" if folder else None
        self._lines: dict[str, bytes | memoryview] = dict(_read(self._file))
        self._used: set[str] = set()
        self._changed = False

    def get(self, key: str) -> Any:
        """What is kept under a key, or None."""
        self._used.add(key)
        line = self._lines.get(key)
        return _value(key, line) if line is not None else None

    def put(self, key: str, value: Any) -> None:
        """Keep a value that JSON can hold, under a key without white space in it."""
        text = json.dumps(value, ensure_ascii=False).encode("utf-8", "surrogatepass")
        self._used.add(key)
        self._lines[key] = b" ".join([key.encode(), _checksum(key, text), text]) + b"\n"
        self._changed = True

    def save(self) -> None:
        """Write what was used or put; where that is not possible, nothing happens."""
        if self._file is None or not self._changed:
            return
        beside = self._file.with_name(f"{self._file.name}.{os.getpid()}")
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("wb") as file:
                file.writelines(self._lines[key] for key in sorted(self._used & set(self._lines)))
            beside.replace(self._file)
        except OSError:
            return
        self._changed = False


def _folder() -> Path | None:
    """Where programs keep what they may lose (XDG Base Directory Specification)."""
    named = os.environ.get(FOLDER)
    if named == "off":
        return None
    if named:
        return Path(named) / "library"
    try:
        home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    except RuntimeError:
        return None
    return home / "tapeline" / "library"


def _read(file: Path | None) -> Iterator[tuple[str, memoryview]]:
    """The lines of a file by the key they begin with, nothing of them checked yet."""
    if file is None:
        return
    try:
        if file.stat().st_size > LARGEST:
            return
        data = file.read_bytes()
    except OSError:
        return
    whole, begin = memoryview(data), 0
    while (end := data.find(b"\n", begin)) >= 0:
        key = data[begin : max(begin, data.find(b" ", begin, end))]
        yield key.decode("utf-8", "replace"), whole[begin : end + 1]
        begin = end + 1


def _value(key: str, line: bytes | memoryview) -> Any:
    """A value as it was kept, or None where the line is not what was written."""
    match bytes(line).rstrip(b"\n").split(b" ", 2):
        case [_, checksum, text] if checksum == _checksum(key, text):
            return json.loads(text.decode("utf-8", "surrogatepass"))
    return None


def _checksum(key: str, text: bytes) -> bytes:
    return hashlib.sha256(key.encode() + b"\n" + text).hexdigest().encode()
