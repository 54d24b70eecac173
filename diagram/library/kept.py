"""Entries kept from one run to the next, by content: listing a library plans nothing twice.

What is kept may be lost or damaged at any time; then the exercise is read again. Each value lies
under a checksum of its key and its text, so that a changed figure is none.
"""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

FOLDER = "TAPELINE_CACHE"
"""Environment variable that names another folder, or ``off`` for none."""


LARGEST = 256 * 1024 * 1024
"""Bytes; twenty thousand exercises take less."""


class Kept:
    """Values by key in one file of a cache folder; `save` writes what is new."""

    def __init__(self, name: str) -> None:
        folder = _folder()
        self._file = folder / f"{name}.json" if folder else None
        self._texts: dict[str, Any] = _read(self._file)
        self._values: dict[str, Any] = {}
        self._used: set[str] = set()
        self._changed = False

    def get(self, key: str) -> Any:
        """What is kept under a key, or None."""
        self._used.add(key)
        if key not in self._values and key in self._texts:
            self._values[key] = _checked(key, self._texts.pop(key))
        return self._values.get(key)

    def put(self, key: str, value: Any) -> None:
        """Keep a value that JSON can hold."""
        self._used.add(key)
        self._values[key] = value
        self._changed = True

    def save(self) -> None:
        """Write what was used or put; where that is not possible, nothing happens."""
        if self._file is None or not self._changed:
            return
        kept = sorted(key for key in self._used if self.get(key) is not None)
        beside = self._file.with_name(f"{self._file.name}.{os.getpid()}")
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("w", encoding="utf-8") as file:
                # One value after another: all of them as one text would be held twice.
                for n, key in enumerate(kept):
                    between = ", " if n else "{"
                    text = json.dumps(self._values[key], ensure_ascii=False)
                    pair = json.dumps([_checksum(key, text), text], ensure_ascii=False)
                    file.write(f"{between}{json.dumps(key)}: {pair}")
                file.write("}" if kept else "{}")
            beside.replace(self._file)
        except OSError:
            return


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


def _read(file: Path | None) -> dict[str, Any]:
    """What lies in a file, nothing of it checked yet."""
    if file is None:
        return {}
    try:
        if file.stat().st_size > LARGEST:
            return {}
        texts = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return texts if isinstance(texts, dict) else {}


def _checked(key: str, kept: Any) -> Any:
    """A value as it was kept, or None."""
    match kept:
        case [str(checksum), str(text)] if checksum == _checksum(key, text):
            return json.loads(text)
    return None


def _checksum(key: str, text: str) -> str:
    return hashlib.sha256(f"{key}\n{text}".encode("utf-8", "surrogatepass")).hexdigest()
