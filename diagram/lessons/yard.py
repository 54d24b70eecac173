"""What a lesson names that lies in files of its own: its exercises, its arena and its store."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity, near
from diagram.exercise.arena import resolve_arena
from diagram.exercise.inventory import STORE_FILE, read_store
from diagram.library.collection import LIBRARY_FILE, read_about, store_named
from diagram.model.lesson_file import LessonWritten
from diagram.source import Document, read

if TYPE_CHECKING:
    from diagram.exercise.arena import Arena
    from diagram.exercise.inventory import Store


def exercise_file(document: Document, stem: str) -> Path | None:
    """The file of an exercise, beside a lesson or in the folder above; None where there is none."""
    here = Path(document.name).parent
    tried = (folder / f"{stem}{end}" for folder in (here, here.parent) for end in (".yaml", ".yml"))
    return next((path for path in tried if path.is_file() and not path.is_symlink()), None)


def stems_near(document: Document) -> list[str]:
    """The names, without ending, of the files that may be exercises of a lesson."""
    here = Path(document.name).parent
    files = (file for folder in (here, here.parent) for file in folder.glob("*.y*ml"))
    return sorted({file.stem for file in files if str(file) != document.name} - NO_EXERCISES)


NO_EXERCISES = {"library", "store", "arenas", "rings"}
"""Files of a folder that are no exercises."""


def yard_of(
    written: LessonWritten, document: Document, folder: Path
) -> tuple[Arena | None, Store | None]:
    """The arena that a lesson says and the store that it names, both known in `folder`; None where
    it says none, and for a store what the folder itself keeps. Raises RejectedError."""
    arena = store = None
    found: list[Diagnostic] = []
    sources: dict[str, str] = {}
    try:
        arena = _arena(written, document, folder)
    except RejectedError as problem:
        found, sources = [*problem.diagnostics], problem.sources
    try:
        store = _store(written, document, folder)
    except RejectedError as problem:
        found, sources = [*found, *problem.diagnostics], {**sources, **problem.sources}
    if found:
        raise RejectedError(found, sources)
    return arena, store


def _arena(written: LessonWritten, document: Document, folder: Path) -> Arena | None:
    if written.arena is None:
        return None
    there = replace(document, name=str(folder / Path(document.name).name))
    try:
        return resolve_arena(written.arena, there)
    except RejectedError as problem:
        if there.name not in problem.sources:
            raise
        found = [replace(d, span=document.span_at(("arena",))) for d in problem.diagnostics]
        raise RejectedError(found, {document.name: document.text}) from None


def _store(written: LessonWritten, document: Document, folder: Path) -> Store | None:
    if written.store is None:
        file = folder / STORE_FILE
        return read_store(read(file)) if file.is_file() else None
    _, stores = read_about(folder)
    if store := store_named(stores, written.store):
        return store
    hint = near(written.store, [store.name for store in stores])
    told = Diagnostic(
        "unknown-store", Severity.ERROR, f'no store is called "{written.store}"',
        document.span_at(("store",)), hint or f"name it in {LIBRARY_FILE}, under stores:",
    )  # fmt: skip
    raise RejectedError([told], {document.name: document.text})
