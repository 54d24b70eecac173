"""``tapeline library publish``: the library as a folder of pages."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import CLEAN, REJECTED, paper_options, progress, refused, show
from diagram.cli.library.shared import folder_argument, opened

if TYPE_CHECKING:
    from diagram.units import Units


@click.command("publish")
@folder_argument
@click.option("--to", type=click.Path(path_type=Path, file_okay=False), default="output/site",
              show_default=True, help="Folder to write.")  # fmt: skip
@click.option("--no-prints", is_flag=True, help="Without cards, leaves and catalogue.")
@click.option("--one-file", is_flag=True,
              help="Each page once more, with all in it, for phones.")  # fmt: skip
@click.option("--jobs", type=click.IntRange(1), help="How many at once; all cores if left out.")
@paper_options
def command(
    folder: Path, to: Path, no_prints: bool, one_file: bool, jobs: int | None, paper: str,
    units: str,
) -> None:  # fmt: skip
    """Write pages with search and filters, to open from a disk, a stick or a phone.

    They need no server and no network. A folder that this did not write is never replaced.
    """
    from diagram.library.publishing import NotOursError, publish
    from diagram.plain import counted

    library = opened(folder, jobs)
    show(library.problems, {})
    own = cast("Units", "feet" if units == "both" else units)
    try:
        with progress("publishing") as told:
            done = publish(
                library, to, paper=paper, units=own, prints=not no_prints, at_once=jobs,
                one_file=one_file,
                progress=told,
            )  # fmt: skip
    except NotOursError as problem:
        refused(f"{problem}: nothing is written")
    except OSError as problem:
        refused(f"cannot write {to}: {problem.strerror or problem}")
    for path, why in done.failed:
        click.echo(f"{path}: left out\n{why}\n", err=True)
    pages = counted(done.exercises, "exercise")
    click.echo(
        f"{to / 'index.html'}: {pages}, {done.anew} worked out anew, {done.bytes // 1000} kB"
    )
    sys.exit(REJECTED if done.failed or library.problems else CLEAN)
