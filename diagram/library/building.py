"""Cards, leaves and drawings of a whole library: only what changed, over all cores."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from diagram.diagnostics import RejectedError
from diagram.library.collection import Library
from diagram.library.content import digest_of, key_of
from diagram.library.folding import stem_in_ascii
from diagram.library.record import Record
from diagram.library.working import Broken, run_all
from diagram.units import Units
from diagram.writers.files import write_bytes

if TYPE_CHECKING:
    from diagram.drawing import Drawn
    from diagram.library.entry import Entry
    from diagram.planning import Plan

KINDS = {"card": "card.pdf", "leaf": "leaf.pdf", "drawing": "drawing.svg"}
"""What is built of each exercise, and how its file ends: no two are ever written to one path."""


class FileTask(Struct, frozen=True):
    """One file to write of one exercise; `ride` is the number of the ride that is drawn."""

    exercise: Path
    kind: str
    target: Path
    key: str
    ride: int = 0


class Work(Struct, frozen=True):
    """All files to write of one exercise, which is planned once for them."""

    exercise: Path
    tasks: tuple[FileTask, ...]
    paper: str
    units: Units


class Done(Struct, frozen=True):
    """What came of building: names of files, and why others were not written."""

    written: tuple[str, ...]
    unchanged: int
    refused: tuple[tuple[str, str], ...]
    failed: tuple[tuple[str, str], ...]
    left_over: tuple[str, ...]


def build(
    library: Library,
    folder: Path,
    kinds: Iterable[str] = tuple(KINDS),
    *,
    paper: str = "A4",
    units: Units = "feet",
    force: bool = False,
    at_once: int | None = None,
    progress: Callable[[int, int], None] | None = None,
    waiting: Path | None = None,
) -> Done:
    """Build what is wanted of every exercise into `folder`. Raises OSError where that is none.

    Nothing is written over that this did not write, unless `force` says so. `waiting` is a
    folder of prints that were made while the library was read (`diagram.library.ahead`).
    """
    tasks = list(_tasks(library, folder, tuple(kinds), paper, units))
    written, refused, failed = [], [], []
    failed += [(str(bad.path), bad.message) for bad in library.failed]
    with Record(folder) as record:
        wanted: dict[Path, list[FileTask]] = {}
        unchanged = 0
        for task in tasks:
            name = task.target.name
            if record.is_done(name, task.key):
                unchanged += 1
            elif (why := record.not_ours(name)) and (not force or "link" in why):
                refused.append((name, why))
            else:
                record.begin(name, task.key)
                if waiting and (checksum := _taken(task, waiting)):
                    record.finish(name, task.key, checksum)
                    written.append(name)
                else:
                    wanted.setdefault(task.exercise, []).append(task)
        works = [Work(path, tuple(wanted[path]), paper, units) for path in sorted(wanted)]
        for n, (work, result) in enumerate(run_all(write_work, works, at_once)):
            if progress:
                progress(n + 1, len(works))
            if isinstance(result, Broken):
                failed.append((str(work.exercise), result.why))
                continue
            for task, checksum in zip(work.tasks, result, strict=True):
                record.finish(task.target.name, task.key, checksum)
                written.append(task.target.name)
        # What cannot be read at the moment is not gone: its files stay the last good ones.
        unread = {stem_in_ascii(bad.path.stem) for bad in library.failed}
        left = tuple(
            name for name in record.left_over(task.target.name for task in tasks)
            if name.partition(".")[0] not in unread
        )  # fmt: skip
    return Done(
        tuple(sorted(written)), unchanged, tuple(refused), tuple(sorted(failed)), left
    )  # fmt: skip


def _tasks(
    library: Library, folder: Path, kinds: tuple[str, ...], paper: str, units: Units
) -> Iterable[FileTask]:
    for entry in library.entries:
        path = library.paths[entry.stem]
        yield from tasks_of(entry, path, folder, keys_of(path, kinds, paper, units))


def keys_of(path: Path, kinds: Iterable[str], paper: str, units: Units) -> dict[str, str]:
    """The key of each kind of print of an exercise file as it is now. Raises OSError."""
    return {kind: key_of(path, kind, paper, units) for kind in kinds}


def tasks_of(entry: Entry, path: Path, folder: Path, keys: dict[str, str]) -> Iterator[FileTask]:
    """The files of one exercise in `folder`, of the kinds of which there is a key."""
    for kind, key in keys.items():
        for ride in range(entry.rides if kind == "drawing" else 1):
            number = f".{ride + 1}" if ride else ""
            target = folder / f"{stem_in_ascii(entry.stem)}{number}.{KINDS[kind]}"
            yield FileTask(path, kind, target, key, ride)


def waiting_file(folder: Path, task: FileTask) -> Path:
    """Where a print waits that was made before its build."""
    return folder / f"{task.key}.{task.ride}"


def _taken(task: FileTask, waiting: Path) -> str:
    """The checksum of a print that waited and is now where it belongs; empty where none did."""
    file = waiting_file(waiting, task)
    if waiting.is_symlink():
        return ""
    try:
        checksum = digest_of(file)
        file.replace(task.target)
    except OSError:
        return ""
    return checksum


def write_work(work: Work) -> tuple[str, ...]:
    """Write all files of one exercise; the checksum of each. Runs in a process of its own."""
    from diagram.pipeline import plans

    try:
        planned = plans(work.exercise)
    except RejectedError as problem:
        raise ValueError(str(problem)) from None
    prints = Prints(planned, work.paper, work.units)
    checksums = []
    for task in work.tasks:
        write_bytes(task.target, prints.of(task.kind, task.ride))
        checksums.append(digest_of(task.target))
    return tuple(checksums)


class Prints(Struct, frozen=True, dict=True):
    """What is printed of the rides of one exercise, each ride drawn once for all of it.

    Several rides have a card each, one after the other; fences stand the same in all of them, so
    that the leaf is one.
    """

    plans: tuple[Plan, ...]
    paper: str
    units: Units

    @cached_property
    def drawn(self) -> tuple[Drawn, ...]:
        """The drawing of each ride, which is the first side of its card too."""
        from diagram.pipeline import drawing_of

        return tuple(drawing_of(plan, self.paper, self.units) for plan in self.plans)

    def of(self, kind: str, ride: int = 0) -> bytes:
        """A card or a leaf as PDF, or the drawing of a ride as SVG."""
        from diagram.pipeline import drawn_bytes, setting_bytes, setting_of
        from diagram.stakeout.crew import crew_for
        from diagram.writers.card import card_bytes
        from diagram.writers.joined import joined

        paper, units, first = self.paper, self.units, self.plans[0]
        if kind == "card":
            cards = [
                (plan.title, card_bytes(plan, paper=paper, units=units, drawn=drawn))
                for plan, drawn in zip(self.plans, self.drawn, strict=True)
            ]
            return cards[0][1] if len(cards) == 1 else joined(cards, first.definition.title)
        if kind == "leaf":
            return setting_bytes(setting_of(first, crew_for(units)), "pdf", paper=paper)
        return drawn_bytes(self.drawn[ride], "svg")
