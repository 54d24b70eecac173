"""Entries kept from one run to the next, by content: listing a library plans nothing twice.

What is kept may be lost or damaged at any time; then the exercise is read again.
"""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

FOLDER = "TAPELINE_CACHE"
"""Environment variable that names another folder, or ``off`` for none."""


class Kept:
    """Values by key in one file of a cache folder; `save` writes what is new."""

    def __init__(self, name: str) -> None:
        folder = _folder()
        self._file = folder / f"{name}.json" if folder else None
        self._values: dict[str, Any] = _read(self._file)
        self._used: set[str] = set()
        self._changed = False

    def get(self, key: str) -> Any:
        """What is kept under a key, or None."""
        self._used.add(key)
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
        kept = {key: self._values[key] for key in sorted(self._used) if key in self._values}
        beside = self._file.with_name(f"{self._file.name}.{os.getpid()}")
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("w", encoding="utf-8") as file:
                # One value after another: all of them as one text would be held twice.
                for n, (key, value) in enumerate(kept.items()):
                    between = ", " if n else "{"
                    told = json.dumps(value, ensure_ascii=False)
                    file.write(f"{between}{json.dumps(key)}: {told}")
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
    if file is None:
        return {}
    try:
        values = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return values if isinstance(values, dict) else {}
