"""A packed library opened: looked through as a whole first, and only then written.

What comes from others is not trusted: its sizes are counted while it is read, not believed;
every path must lie below the folder; links are no files; and a file that is there already with
other content is left as it is until someone says what to do.
"""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections import Counter
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.library.content import checksum
from diagram.library.manifest import (
    LARGEST_FILE,
    LARGEST_PACK,
    MANIFEST,
    MOST_FILES,
    Manifest,
    PackError,
    read_manifest,
    same_names,
    why_not,
)
from diagram.writers.files import write_bytes

LARGEST_ARCHIVE = 64 * 1024 * 1024
"""Bytes of the packed file itself."""


class Opened(Struct, frozen=True):
    """A pack whose every file was read and found to be what its manifest says."""

    manifest: Manifest
    files: dict[str, bytes]


class Merge(Struct, frozen=True):
    """What unpacking into a folder would do: paths that are new, the same, or other than there.

    `blocked` are paths that cannot be written, each with why.
    """

    new: tuple[str, ...]
    same: tuple[str, ...]
    clashes: tuple[str, ...]
    blocked: tuple[tuple[str, str], ...]


def open_pack(path: Path) -> Opened:
    """Read a pack whole. Raises PackError, OSError; nothing is written."""
    if path.stat().st_size > LARGEST_ARCHIVE:
        raise PackError(f"it is larger than {LARGEST_ARCHIVE // 1024 // 1024} MB")
    data = io.BytesIO(path.read_bytes())
    try:
        with zipfile.ZipFile(data) as archive:
            return _opened(archive)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as problem:
        raise PackError(f"it is no packed library, or it is damaged ({problem})") from None
    except PackError:
        raise
    except (ValueError, OverflowError, OSError, IndexError):
        # A damaged archive may send its reader anywhere, before the beginning of the file too.
        raise PackError("it is no packed library, or it is damaged") from None


def _opened(archive: zipfile.ZipFile) -> Opened:
    infos = archive.infolist()
    if len(infos) > MOST_FILES + 1:
        raise PackError(f"it has more than {MOST_FILES} files")
    names = [info.filename for info in infos]
    for name, number in Counter(names).items():
        if number > 1:
            raise PackError(f"{name!r} is in it twice")
    for info in infos:
        _allowed(info)
    if MANIFEST not in names:
        raise PackError("it has no manifest")
    for one, other in same_names(names):
        raise PackError(f"{one!r} and {other!r} in it are one file on some systems")
    manifest = read_manifest(_data(archive, MANIFEST, LARGEST_FILE * 4))
    listed = set(names) - {MANIFEST}
    if listed != set(manifest.files):
        odd = sorted(listed ^ set(manifest.files))[0]
        raise PackError(f"its manifest and its files do not agree about {odd!r}")
    files: dict[str, bytes] = {}
    total = 0
    for name in sorted(listed):
        data = _data(archive, name, LARGEST_FILE)
        total += len(data)
        if total > LARGEST_PACK:
            raise PackError(f"unpacked it is larger than {LARGEST_PACK // 1024 // 1024} MB")
        if checksum(data) != manifest.files[name]:
            raise PackError(f"{name!r} is not as it was packed: its checksum is another")
        files[name] = data
    return Opened(manifest, files)


def _allowed(info: zipfile.ZipInfo) -> None:
    mode = info.external_attr >> 16
    if info.is_dir() or (stat.S_IFMT(mode) and not stat.S_ISREG(mode)):
        raise PackError(f"{info.filename!r} in it is a link, folder or device, not a file")
    if info.flag_bits & 0x1:
        raise PackError(f"{info.filename!r} in it is encrypted")
    # The name as it stands in the archive: reading one with a zero byte in it cuts it short.
    if info.orig_filename != info.filename or "\\" in info.filename:
        raise PackError(f"{info.orig_filename!r} in it is no path that every system reads alike")
    if info.filename != MANIFEST and (why := why_not(info.filename)):
        raise PackError(f"{info.filename!r} in it {why}")


def _data(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    """The content of a file, read no further than `most`: sizes in an archive may be lies."""
    with archive.open(name) as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise PackError(f"{name!r} in it is larger than {most // 1024} KB")
    return data


def compare(opened: Opened, folder: Path) -> Merge:
    """What is new in a pack, and what would clash with a folder. Raises OSError."""
    new: list[str] = []
    same: list[str] = []
    clashes: list[str] = []
    blocked: list[tuple[str, str]] = []
    there = {p.casefold() for p in _paths_in(folder)}
    for name, data in opened.files.items():
        target = folder / name
        if why := _in_the_way(folder, name):
            blocked.append((name, why))
        elif target.is_file():
            (same if target.read_bytes() == data else clashes).append(name)
        elif name.casefold() in there:
            blocked.append((name, "a file of this name in other capitals is there"))
        else:
            new.append(name)
    return Merge(tuple(new), tuple(same), tuple(clashes), tuple(blocked))


def _paths_in(folder: Path) -> list[str]:
    if not folder.is_dir():
        return []
    return [p.relative_to(folder).as_posix() for p in folder.rglob("*.y*ml")]


def _in_the_way(folder: Path, name: str) -> str:
    """Why a path in the folder cannot be written: a link or a file where a folder must be."""
    below = PurePosixPath(name).parts
    for end in range(1, len(below) + 1):
        step = folder.joinpath(*below[:end])
        if step.is_symlink():
            return "a link is there, which is not followed"
        if step.exists() and (step.is_dir() if end == len(below) else not step.is_dir()):
            return "something else is there"
    return ""


def write_pack(opened: Opened, folder: Path, names: Mapping[str, str]) -> None:
    """Write files of a pack, each under the name given for it. Raises OSError."""
    for name, written_as in names.items():
        write_bytes(folder / written_as, opened.files[name])


def other_name(name: str, folder: Path) -> str:
    """A name for the file beside the one that is there: ``fan-2.yaml``."""
    path = PurePosixPath(name)
    number = 2
    while (folder / (tried := str(path.with_name(f"{path.stem}-{number}{path.suffix}")))).exists():
        number += 1
    return tried


def unreadable(opened: Opened) -> list[tuple[str, str]]:
    """Exercises of a pack that cannot be read here, with the first line of why."""
    from diagram.library.kinds import SHARED_FILES, kind_of_text
    from diagram.model import Definition, validate
    from diagram.source import read_text

    found = []
    for name, data in opened.files.items():
        text = data.decode("utf-8-sig", errors="replace")
        if PurePosixPath(name).name not in SHARED_FILES and kind_of_text(text) == "exercise":
            try:
                validate(read_text(text, name), Definition)
            except RejectedError as problem:
                found.append((name, str(problem).splitlines()[0]))
    return found
