"""A library: the exercises of a folder with their figures, in their order, and what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, ValidationError, convert, to_builtins
from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.library.content import combined, key_of
from diagram.library.entry import Entry, entry_of
from diagram.library.folding import fold, stem_in_ascii
from diagram.library.kept import Kept
from diagram.library.links import Links, links_of
from diagram.library.rings import places_key, read_rings, together
from diagram.library.scanning import FolderFiles, scan
from diagram.library.working import Broken, run_all
from diagram.model.library_file import LibraryWritten
from diagram.model.library_keys import GROUPS
from diagram.model.reading import validate
from diagram.model.yard_file import read_yard_file
from diagram.source import Document, Mapping

if TYPE_CHECKING:
    from diagram.exercise.inventory import Store
    from diagram.planning import Plan

LIBRARY_FILE = "library.yaml"
SAVED_EVERY = 100
"""Exercises read: so many at most are read again after a run that was killed."""


class ReadJob(Struct, frozen=True):
    """An exercise file to read, and the key under which its entry is kept."""

    path: Path
    stem: str
    key: str


class Failed(Struct, frozen=True):
    """An exercise that cannot be read, with the whole message."""

    path: Path
    message: str


class Library(Struct, frozen=True):
    """The exercises of a folder. `entries` stand by group, from low to high, then by title;
    `stores` are those that it names."""

    folder: Path
    about: LibraryWritten
    found: FolderFiles
    entries: tuple[Entry, ...]
    paths: dict[str, Path]
    links: Links
    failed: tuple[Failed, ...] = ()
    problems: tuple[Diagnostic, ...] = ()
    stores: tuple[Store, ...] = ()

    def entry(self, stem: str) -> Entry:
        """An exercise by its file's name. Raises KeyError."""
        return next((e for e in self.entries if e.stem == stem), None) or _missing(stem)

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups in which there is an exercise, in their order; "" for those in none."""
        there = {entry.main for entry in self.entries}
        return tuple(group for group in (*_order(self.about), "") if group in there)


def _missing(stem: str) -> Entry:
    raise KeyError(stem)


def read_entry(job: ReadJob) -> Entry | str:
    """The entry of one file, or the message that says why there is none."""
    read = read_rides(job)
    return read if isinstance(read, str) else read[0]


def read_rides(job: ReadJob) -> tuple[Entry, tuple[Plan, ...]] | str:
    """The entry and the planned rides of one file, or the message that says why there are none."""
    from diagram.pipeline import plans

    try:
        rides = plans(job.path)
    except RejectedError as problem:
        return str(problem)
    return entry_of(rides[0], job.stem, rides[1:]), rides


def read_library(
    folder: Path,
    progress: Callable[[int, int], None] | None = None,
    at_once: int | None = None,
    read_one: Callable[[ReadJob], Entry | str] = read_entry,
) -> Library:
    """Read every exercise of a folder; those that cannot be read are listed with why.

    Raises RejectedError for a `library.yaml` with mistakes in it, OSError for a folder that
    cannot be listed. `progress` is told how many were read anew, and of how many; `read_one`
    reads one file in a process of its own.
    """
    found = scan(folder)
    about, stores = read_about(folder)
    named, problems = _named(found)
    kept = Kept(f"entries-{combined([str(folder.resolve())])[:16]}")
    entries, failed, unread = [], [], []
    for stem, path in named.items():
        known = _kept_entry(path, stem, kept)
        if isinstance(known, Entry):
            entries.append(known)
        elif isinstance(known, Failed):
            failed.append(known)
        else:
            unread.append(ReadJob(path, stem, known))
    try:
        for n, (job, result) in enumerate(run_all(read_one, unread, at_once)):
            if progress:
                progress(n + 1, len(unread))
            if isinstance(result, Broken):
                failed.append(Failed(job.path, result.why))
            elif isinstance(result, str):
                failed.append(Failed(job.path, result))
            else:
                entries.append(result)
                kept.put(job.key, to_builtins(result))
            if n % SAVED_EVERY == SAVED_EVERY - 1:
                kept.save()
    finally:
        kept.save()
    entries = _with_rings(folder, entries, named)
    ordered = sorted(entries, key=lambda entry: library_order(entry, about))
    links = links_of(ordered)
    problems += [_problem(named[p.stem], "link", p.message, p.hint) for p in links.problems]
    bad = tuple(sorted(failed, key=lambda f: f.path))
    return Library(folder, about, found, tuple(ordered), named, links, bad, tuple(problems), stores)


def _with_rings(folder: Path, entries: list[Entry], named: dict[str, Path]) -> list[Entry]:
    """The entries with the rings that were worked out for their fences and lines as they are."""
    known = read_rings(folder)
    out = []
    for entry in entries:
        rings = known.get(entry.stem)
        try:
            current = rings is not None and rings.key == places_key(named[entry.stem], entry.stands)
        except RejectedError:
            current = False
        if rings is not None and current:
            out.append(replace(entry, fits=together(entry.fits, rings.fits)))
        else:
            out.append(entry)
    return out


def read_about(folder: Path) -> tuple[LibraryWritten, tuple[Store, ...]]:
    """What the folder says of itself, and the stores it names, in its order; the usual where it
    says nothing. Raises RejectedError."""
    file = folder / LIBRARY_FILE
    if not file.is_file():
        return LibraryWritten.model_validate({"tapeline library": "1"}), ()
    document = read_yard_file(file)
    return validate(document, LibraryWritten), tuple(_stores(document))


def store_named(stores: Iterable[Store], name: str) -> Store | None:
    """The store that is called so, whatever its letters; None where there is none."""
    return next((store for store in stores if fold(store.name) == fold(name)), None)


def _stores(document: Document) -> Iterator[Store]:
    named, _ = document.node_at(("stores",))
    if isinstance(named, Mapping) and named is not document.root:
        from diagram.exercise.inventory import read_store

        for key, node in named.entries:
            yield replace(read_store(replace(document, root=node)), name=key.text)


def library_order(entry: Entry, about: LibraryWritten) -> tuple[int, float, str, str]:
    """By group as the library orders them, from low to high, then by title."""
    order = _order(about)
    group = order.index(entry.main) if entry.main in order else len(order)
    return group, entry.heights[1], entry.title, entry.stem


def _order(about: LibraryWritten) -> tuple[str, ...]:
    return (*about.groups, *(group for group in GROUPS if group not in about.groups))


def _named(found: FolderFiles) -> tuple[dict[str, Path], list[Diagnostic]]:
    """Exercises by their file's name. Two names that would become one file's name are refused,
    the second of them: their pages would overwrite each other."""
    named: dict[str, Path] = {}
    taken: dict[str, Path] = {}
    problems = []
    for path in found.exercises:
        plain = stem_in_ascii(path.stem)
        if not plain or plain in taken:
            other = f"the same name as {taken[plain]}" if plain else "no name that a file can have"
            problems.append(_problem(
                path, "one-name", f"in letters and digits alone this file has {other}",
                "give the file another name",
            ))  # fmt: skip
            continue
        taken[plain] = path
        named[path.stem] = path
    return named, problems


def _kept_entry(path: Path, stem: str, kept: Kept) -> Entry | Failed | str:
    """The entry if it is kept, why the file cannot be read, or the key to keep it under."""
    try:
        key = key_of(path, stem)
    except OSError as problem:
        return Failed(path, f"cannot read {path}: {problem.strerror or problem}")
    try:
        values = kept.get(key)
        return convert(values, Entry) if values is not None else key
    except ValidationError:
        return key


def _problem(path: Path, rule: str, message: str, hint: str) -> Diagnostic:
    from diagram.diagnostics import Span

    return Diagnostic(rule, Severity.ERROR, message, Span(str(path), 1, 1, 1, 2), hint)
