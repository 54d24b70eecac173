"""What a result depends on, as one short text: the same content gives the same key.

The key of an exercise is made of its bytes, of the files it shares with others and of the
program itself, so that nothing is built anew that would come out the same, and everything is
that might not.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import diagram
from diagram.library.kinds import SHARED_FILES

ENDINGS = (".py", ".yaml", ".json", ".html", ".css", ".js")
_TABLE = re.compile(rb"^distances\s*:\s*[\"']?([^\"'#\n]+\.ya?ml)", re.MULTILINE)


def key_of(exercise: Path, *options: str) -> str:
    """The key of what is made of an exercise file with `options`. Raises OSError."""
    data = exercise.read_bytes()
    parts = [program(), "\0".join(options), checksum(data)]
    for file in _shared_with(exercise, data):
        parts.append(f"{file.name} {checksum(file.read_bytes())}")
    return checksum("\n".join(parts).encode())


def _shared_with(exercise: Path, data: bytes) -> list[Path]:
    """Files beside and above that change what the exercise becomes, each name once."""
    names = [name for name in SHARED_FILES if name not in ("library.yaml", "rings.yaml")]
    table = _TABLE.search(data)
    if table:
        names.append(table[1].decode("utf-8", errors="replace").strip())
    folders = (exercise.parent, exercise.parent.parent)
    found = []
    for name in names:
        file = next((f for folder in folders if (f := folder / name).is_file()), None)
        if file is not None:
            found.append(file)
    return found


@cache
def program() -> str:
    """A key of the program's own files: another version builds everything anew."""
    root = Path(diagram.__file__).parent
    files = sorted(path for path in root.rglob("*") if path.suffix in ENDINGS)
    return combined(
        f"{path.relative_to(root).as_posix()} {checksum(path.read_bytes())}" for path in files
    )


def combined(parts: Iterable[str]) -> str:
    """One key of many texts."""
    return checksum("\n".join(parts).encode())


def checksum(data: bytes) -> str:
    """The checksum of the content of a file."""
    return hashlib.sha256(data).hexdigest()


def digest_of(path: Path) -> str:
    """The checksum of a file. Raises OSError."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
