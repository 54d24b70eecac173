"""``tapeline library build``: cards, leaves and drawings of all exercises of a folder."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import CLEAN, REJECTED, paper_options, progress, show, writing
from diagram.cli.library.shared import folder_argument, opened

if TYPE_CHECKING:
    from diagram.units import Units

KINDS = ("card", "leaf", "drawing")


@click.command("build")
@folder_argument
@click.option("--to", type=click.Path(path_type=Path, file_okay=False), default="output/library",
              show_default=True, help="Folder to write into.")  # fmt: skip
@click.option("--only", type=click.Choice(KINDS), multiple=True,
              help="Only these; all three if left out.")  # fmt: skip
@click.option("--jobs", type=click.IntRange(1), help="How many at once; all cores if left out.")
@click.option("--force", is_flag=True, help="Write over files that this did not write.")
@paper_options
def command(
    folder: Path, to: Path, only: tuple[str, ...], jobs: int | None, force: bool, paper: str,
    units: str,
) -> None:  # fmt: skip
    """Build the card, the builder's leaf and the drawing of every exercise.

    Only what changed is built anew; a run that was stopped goes on where it was.
    """
    from diagram.library.ahead import PrintAhead
    from diagram.library.building import build
    from diagram.plain import counted

    ahead = PrintAhead(to, only or KINDS, paper, cast("Units", units))
    library = opened(folder, jobs, "reading and printing", ahead)
    show(library.problems, {})
    with writing(f"into {to}"):
        with progress("building") as told:
            done = build(
                library, to, ahead.kinds, paper=paper, units=ahead.units, force=force,
                at_once=jobs, progress=told, waiting=ahead.waiting,
            )  # fmt: skip
        ahead.forget()
    for path, why in done.failed:
        click.echo(f"{path}: not built\n{why}\n", err=True)
    for name, why in done.refused:
        click.echo(f"{to / name} {why}: left as it is; --force writes over it", err=True)
    for name in done.left_over:
        click.echo(f"{to / name}: its exercise is gone", err=True)
    click.echo(f"{to}: {counted(len(done.written), 'file')} written, {done.unchanged} unchanged")
    sys.exit(REJECTED if done.failed or done.refused or library.problems else CLEAN)
