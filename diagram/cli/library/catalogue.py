"""``tapeline library catalogue``: the library as a book to print."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import CLEAN, REJECTED, progress, refused, show, writing
from diagram.cli.library.shared import folder_argument, opened, units_option

if TYPE_CHECKING:
    from diagram.units import Units


@click.command("catalogue")
@folder_argument
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False),
              default="output/catalogue.pdf", show_default=True, help="A PDF.")  # fmt: skip
@click.option("--jobs", type=click.IntRange(1), help="How many at once; all cores if left out.")
@units_option
def command(folder: Path, to: Path, jobs: int | None, units: str) -> None:
    """Print all exercises, four to a page, with contents and an index by what they teach."""
    from diagram.library.catalogue import catalogue
    from diagram.plain import counted
    from diagram.writers.files import write_bytes

    library = opened(folder, jobs)
    show(library.problems, {})
    if to.suffix.lower() != ".pdf" or to.is_symlink():
        refused(f"{to}: a catalogue is a PDF, and links are not followed")
    with progress("printing") as told:
        book = catalogue(library, cast("Units", units), at_once=jobs, progress=told)
    with writing(to):
        write_bytes(to, book.pdf())
    failed = [*((str(bad.path), bad.message) for bad in library.failed), *book.failed]
    for path, why in failed:
        click.echo(f"{path}: left out\n{why}\n", err=True)
    click.echo(f"{to}: {counted(len(book.pages), 'page')}")
    sys.exit(REJECTED if failed or library.problems else CLEAN)
