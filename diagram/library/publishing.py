"""A library as a folder of pages: plain HTML that needs no server, no network and no build.

The new folder is written beside the old one and takes its place in one step. A folder that this
did not write is never replaced. What was made for an exercise is taken over from the old folder
when nothing it depends on has changed.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from diagram.library.catalogue import catalogue
from diagram.library.collection import Library
from diagram.library.content import combined, digest_of, key_of
from diagram.library.folding import stem_in_ascii
from diagram.library.kept import Kept
from diagram.library.site_pages import site_pages
from diagram.library.site_work import SiteJob, SiteWork, work_for_site
from diagram.library.working import Broken, run_all
from diagram.units import Units

MARKER = "tapeline-site.json"
BOOK = "catalogue.pdf"


class NotOursError(Exception):
    """The folder is there and was not written by `publish`; says so."""


class Published(Struct, frozen=True):
    """What came of it: exercises on pages, how many of them were worked out anew, what failed."""

    exercises: int
    anew: int
    failed: tuple[tuple[str, str], ...]
    bytes: int


def publish(
    library: Library,
    folder: Path,
    *,
    paper: str = "A4",
    units: Units = "feet",
    prints: bool = True,
    one_file: bool = False,
    at_once: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Published:
    """Write the site of a library into `folder`. Raises NotOursError, OSError."""
    if folder.is_symlink():
        raise NotOursError(f"{folder} is a link, which is not followed")
    if folder.exists() and any(folder.iterdir()) and not (folder / MARKER).is_file():
        raise NotOursError(f"{folder} is there and was not written by this command")
    old = _marked(folder)
    kept = Kept(f"pages-{combined([str(library.folder.resolve())])[:16]}")
    new = folder.with_name(f".{folder.name}.{os.urandom(6).hex()}")
    new.mkdir(parents=True)
    try:
        made = _Making(library, folder, new, old, kept, paper, units, prints, one_file)
        done = made.run(at_once, progress)
        _take_place(new, folder)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        raise
    kept.save()
    return done


class _Making:
    """One run: what is taken over, what is worked out, and the pages of all."""

    def __init__(
        self, library: Library, folder: Path, new: Path, old: dict[str, Any], kept: Kept,
        paper: str, units: Units, prints: bool, one_file: bool,
    ) -> None:  # fmt: skip
        self.one_file = one_file
        self.library, self.folder, self.new, self.old = library, folder, new, old
        self.kept, self.paper, self.units, self.prints = kept, paper, units, prints
        self.files: dict[str, dict[str, Any]] = {}
        self.values = _PageValues(kept)

    def run(self, at_once: int | None, progress: Callable[[int, int], None] | None) -> Published:
        failed = [(str(bad.path), bad.message) for bad in self.library.failed]
        jobs: list[tuple[str, str, SiteJob]] = []
        for entry in self.library.entries:
            path, name = self.library.paths[entry.stem], stem_in_ascii(entry.stem)
            key = key_of(path, name, self.paper, self.units, str(self.prints))
            if not self._taken_over(entry.stem, name, key):
                jobs.append((entry.stem, key, SiteJob(path, name, self.paper, self.units,
                                                      self.prints)))  # fmt: skip
        by_path = {job.exercise: (stem, key) for stem, key, job in jobs}
        results = run_all(work_for_site, [job for _, _, job in jobs], at_once)
        for n, (job, result) in enumerate(results):
            if progress:
                progress(n + 1, len(jobs))
            stem, key = by_path[job.exercise]
            if isinstance(result, Broken):
                failed.append((str(job.exercise), result.why))
            else:
                self._worked_out(stem, job.name, key, result)
        if self.prints:
            self._book(at_once)
        pages = site_pages(
            self.library, self.values, self.units, catalogue=self.prints, one_file=self.one_file
        )
        for name, data in pages:
            self._write(name, data)
        self._write(MARKER, _marker(self.files))
        size = sum(path.stat().st_size for path in self.new.rglob("*") if path.is_file())
        return Published(len(self.values), len(jobs), tuple(sorted(failed)), size)

    def _book(self, at_once: int | None) -> None:
        """The catalogue; that of the old folder where no exercise changed."""
        about = self.library.about.model_dump_json()
        fits = [(entry.stem, entry.fits) for entry in self.library.entries]
        links = repr((self.library.links.before, self.units, about, fits))
        key = combined([links, *(str(self.files[name]["key"]) for name in sorted(self.files))])
        values = self.kept.get(key)
        before = self.old.get(BOOK)
        if values and isinstance(before, dict) and before.get("key") == key:
            path = self.folder / BOOK
            if path.is_file() and digest_of(path) == values["sum"]:
                self._write(BOOK, path.read_bytes())
                self.files[BOOK] = before
                return
        data = catalogue(self.library, self.units, at_once=at_once).pdf()
        self._write(BOOK, data)
        self.files[BOOK] = {"key": key, "files": {BOOK: digest_of(self.new / BOOK)}}
        self.kept.put(key, {"sum": self.files[BOOK]["files"][BOOK]})

    def _taken_over(self, stem: str, name: str, key: str) -> bool:
        """Whether the old folder has all files of this exercise, and they are brought over."""
        before, values = self.old.get(name), self.kept.get(key)
        if not isinstance(before, dict) or before.get("key") != key or values is None:
            return False
        files = before.get("files", {})
        try:
            if any(digest_of(self.folder / file) != sum_ for file, sum_ in files.items()):
                return False
            for file in files:
                target = self.new / file
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(self.folder / file, target)
        except OSError:
            return False
        self.files[name], self.values.keys_by_stem[stem] = before, key
        return True

    def _worked_out(self, stem: str, name: str, key: str, work: SiteWork) -> None:
        for file, data in work.files.items():
            self._write(file, data)
        sums = {file: digest_of(self.new / file) for file in sorted(work.files)}
        self.files[name] = {"key": key, "files": sums}
        self.kept.put(key, work.values)
        self.values.keys_by_stem[stem] = key

    def _write(self, name: str, data: bytes) -> None:
        path = self.new / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


class _PageValues(Mapping[str, dict[str, Any]]):
    """What fills the page of each exercise, read when its page is written: the drawings in it
    are large."""

    def __init__(self, kept: Kept) -> None:
        self.kept = kept
        self.keys_by_stem: dict[str, str] = {}

    def __getitem__(self, stem: str) -> dict[str, Any]:
        values: dict[str, Any] = self.kept.get(self.keys_by_stem[stem])
        return values

    def __iter__(self) -> Iterator[str]:
        return iter(self.keys_by_stem)

    def __len__(self) -> int:
        return len(self.keys_by_stem)


def _marked(folder: Path) -> dict[str, Any]:
    """What the old folder says of itself; nothing where it says nothing sound."""
    try:
        found = json.loads((folder / MARKER).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    exercises = found.get("exercises") if isinstance(found, dict) else None
    return exercises if isinstance(exercises, dict) else {}


def _marker(files: dict[str, dict[str, Any]]) -> bytes:
    told = {"site": 1, "exercises": {name: files[name] for name in sorted(files)}}
    return (json.dumps(told, indent=1, ensure_ascii=False) + "\n").encode()


def _take_place(new: Path, folder: Path) -> None:
    """Put the new folder where the old one was; the old one goes last."""
    if not folder.exists():
        new.rename(folder)
        return
    away = folder.with_name(f".{folder.name}.{os.urandom(6).hex()}.old")
    folder.rename(away)
    try:
        new.rename(folder)
    except OSError:
        away.rename(folder)
        raise
    shutil.rmtree(away, ignore_errors=True)
