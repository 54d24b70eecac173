"""A library as one file to hand on: exercises, lessons and what they share, with a manifest.

Only files that say how exercises are built go in. Records, results and notes stay at home, and
so does everything that is no YAML file; so no rider's name can leave by way of a pack unless a
trainer wrote it into the words of an exercise.
"""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from msgspec import Struct

from diagram.library.collection import Library
from diagram.library.content import checksum
from diagram.library.manifest import (
    LARGEST_FILE,
    LARGEST_PACK,
    MANIFEST,
    MOST_FILES,
    Manifest,
    PackError,
    manifest_bytes,
    same_names,
    why_not,
)

EPOCH = (1980, 1, 1, 0, 0, 0)
"""The date on every file of a pack, so that the same library is the same bytes."""


class Packed(Struct, frozen=True):
    """The bytes of a pack, and the paths in it."""

    data: bytes
    paths: tuple[str, ...]


def pack(library: Library) -> Packed:
    """Pack a library. Raises PackError for files that cannot be handed on, OSError."""
    found = library.found
    files: dict[str, bytes] = {}
    for path in (*found.exercises, *found.lessons, *found.tables, *found.shared):
        name = path.relative_to(library.folder).as_posix()
        if why := why_not(name):
            raise PackError(f"{name} {why}")
        files[name] = _read(path, name)
    if len(files) > MOST_FILES:
        raise PackError(f"more than {MOST_FILES} files")
    if sum(len(data) for data in files.values()) > LARGEST_PACK:
        raise PackError(f"more than {LARGEST_PACK // 1024 // 1024} MB")
    for one, other in same_names(sorted(files)):
        raise PackError(f"{one} and {other} are one file on some systems")
    manifest = Manifest(
        library.about.title, _authors(library), library.about.licence or "",
        {name: checksum(data) for name, data in files.items()},
    )  # fmt: skip
    return Packed(_zipped(files, manifest), tuple(sorted(files)))


def _authors(library: Library) -> tuple[str, ...]:
    """Those of the library, then those of its exercises, each once."""
    every = [*library.about.authors, *(name for e in library.entries for name in e.authors)]
    return tuple(dict.fromkeys(every))


def _read(path: Path, name: str) -> bytes:
    with path.open("rb") as file:
        data = file.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        raise PackError(f"{name} is larger than {LARGEST_FILE // 1024} KB")
    return data


def _zipped(files: dict[str, bytes], manifest: Manifest) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, data in [(MANIFEST, manifest_bytes(manifest)), *sorted(files.items())]:
            info = zipfile.ZipInfo(name, EPOCH)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            info.create_system = 3
            archive.writestr(info, data)
    return out.getvalue()
