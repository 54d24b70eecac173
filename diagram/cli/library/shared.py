"""What the commands of a library share: the folder, its reading with progress, lines of a list."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from diagram.cli.common import REJECTED, progress, refused, show
from diagram.diagnostics import RejectedError

if TYPE_CHECKING:
    from diagram.library.collection import Library, ReadJob
    from diagram.library.entry import Entry
    from diagram.units import Units

F = TypeVar("F", bound=Callable[..., Any])


def folder_argument(function: F) -> F:
    """The folder of the library; the present one where none is said."""
    return click.argument(
        "folder", type=click.Path(path_type=Path, file_okay=False), default=".", metavar="[FOLDER]"
    )(function)


def units_option(function: F) -> F:
    """``--units``."""
    return click.option(
        "--units", type=click.Choice(["feet", "metres"]), default="feet", show_default=True,
        help="Heights and rings.",
    )(function)  # fmt: skip


def opened(
    folder: Path,
    at_once: int | None = None,
    what: str = "reading",
    read_one: Callable[[ReadJob], Entry | str] | None = None,
) -> Library:
    """The library in a folder. Ends the program with a message where there is none."""
    from diagram.library.collection import read_entry, read_library

    try:
        with progress(what) as told:
            library = read_library(folder, told, at_once, read_one or read_entry)
    except RejectedError as problem:
        show(problem.diagnostics, problem.sources)
        sys.exit(REJECTED)
    except OSError as problem:
        refused(f"cannot read {folder}: {problem.strerror or problem}")
    if not library.found.exercises:
        refused(f"{folder}: no exercises in this folder")
    return library


def tell_of_failures(library: Library) -> None:
    """One line for each exercise that cannot be read; `library check` says the rest."""
    for bad in library.failed:
        click.echo(f"{bad.path}: cannot be read as meant", err=True)


def lines(entries: Iterable[Entry], units: Units) -> Iterator[str]:
    """A table: file, title, height, jumps, minutes, poles, ring."""
    from diagram.library.said import facts_line

    listed = list(entries)
    wide = max((len(entry.stem) for entry in listed), default=0)
    titles = max((len(entry.title) for entry in listed), default=0)
    for entry in listed:
        yield f"  {entry.stem:<{wide}}  {entry.title:<{titles}}  {facts_line(entry, units)}"
