"""The files of a library: found in a folder and the folders in it, and nothing else opened.

Only regular files are opened. Links are not followed, for they may lead out of the folder or
round in a circle; pipes and devices would wait for ever; what begins with a dot belongs to the
system or to another program.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from msgspec import Struct

from diagram.library.kinds import ENDINGS, kind_of

DEEPEST = 6
MOST_FILES = 20_000
MARKERS = ("tapeline-site.json", "tapeline-built.jsonl")
"""A folder with one of these was written by this program: its files are results."""


class Skipped(Struct, frozen=True):
    """A path that was not opened, and why."""

    path: Path
    why: str


class FolderFiles(Struct, frozen=True):
    """The files of a folder by what they are, each sorted by path; `skipped` is what was left."""

    folder: Path
    exercises: tuple[Path, ...] = ()
    lessons: tuple[Path, ...] = ()
    tables: tuple[Path, ...] = ()
    shared: tuple[Path, ...] = ()
    others: tuple[Path, ...] = ()
    skipped: tuple[Skipped, ...] = ()


def scan(folder: Path) -> FolderFiles:
    """All YAML files in `folder` and below. Raises OSError where the folder cannot be listed."""
    skipped: list[Skipped] = []
    files = _files(folder, 0, skipped)
    by_kind: dict[str, list[Path]] = {}
    for path in sorted(files):
        by_kind.setdefault(kind_of(path), []).append(path)
    return FolderFiles(
        folder,
        exercises=tuple(by_kind.get("exercise", ())),
        lessons=tuple(by_kind.get("lesson", ())),
        tables=tuple(by_kind.get("table", ())),
        shared=tuple(by_kind.get("shared", ())),
        others=tuple(by_kind.get("other", ())),
        skipped=tuple(sorted(skipped, key=lambda s: s.path)),
    )


def _files(folder: Path, depth: int, skipped: list[Skipped]) -> list[Path]:
    found: list[Path] = []
    with os.scandir(folder) as listed:
        entries = sorted(listed, key=lambda entry: entry.name)
    names = {entry.name for entry in entries}
    if depth and names & set(MARKERS):
        skipped.append(Skipped(folder, "written by this program"))
        return found
    for entry in entries:
        path = folder / entry.name
        if entry.name.startswith("."):
            continue
        why = _not_opened(entry)
        if why:
            # Only what looks like an exercise is worth a word.
            if path.suffix.lower() in ENDINGS or entry.is_symlink():
                skipped.append(Skipped(path, why))
        elif entry.is_dir(follow_symlinks=False):
            if depth >= DEEPEST:
                skipped.append(Skipped(path, f"more than {DEEPEST} folders deep"))
            else:
                found += _inside(path, depth, skipped)
        elif path.suffix.lower() in ENDINGS:
            found.append(path)
        if len(found) > MOST_FILES:
            skipped.append(Skipped(path, f"more than {MOST_FILES} files; the rest is left out"))
            return found[:MOST_FILES]
    return found


def _inside(path: Path, depth: int, skipped: list[Skipped]) -> list[Path]:
    try:
        return _files(path, depth + 1, skipped)
    except OSError as problem:
        skipped.append(Skipped(path, (problem.strerror or str(problem)).lower()))
        return []


def _not_opened(entry: os.DirEntry[str]) -> str:
    """Why an entry is not opened; empty for regular files and folders."""
    if entry.is_symlink():
        return "a link, which is not followed"
    try:
        mode = entry.stat(follow_symlinks=False).st_mode
    except OSError as problem:
        return (problem.strerror or str(problem)).lower()
    if stat.S_ISREG(mode) or stat.S_ISDIR(mode):
        return ""
    return "a pipe, socket or device, which is no file"
