"""``tapeline library check``: every exercise of a folder, and what holds between them."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from diagram.cli.common import CLEAN, REJECTED, STOPPED, show
from diagram.cli.library.shared import folder_argument, opened


@click.command("check")
@folder_argument
@click.option("--jobs", type=click.IntRange(1), help="How many at once; all cores if left out.")
def command(folder: Path, jobs: int | None) -> None:
    """Check all exercises of a library, their links, and that no two share a name."""
    from diagram.plain import counted

    library = opened(folder, jobs)
    for bad in library.failed:
        click.echo(bad.message, err=True)
    show(library.problems, {})
    code = REJECTED if library.failed or library.problems else CLEAN
    for entry in library.entries:
        unsaid = [] if entry.teaches else ["says nothing under teaches"]
        stops = [counted(entry.stops, "stop")] if entry.stops else []
        cautions = [counted(entry.cautions, "caution")] if entry.cautions else []
        if stops or cautions or unsaid:
            click.echo(f"{library.paths[entry.stem]}: {', '.join(stops + cautions + unsaid)}")
        code = max(code, STOPPED) if entry.stops else code
    for left in library.found.skipped:
        click.echo(f"{left.path}: not opened, {left.why}")
    for other in library.found.others:
        click.echo(f"{other}: no exercise, passed over")
    clean = sum(not entry.stops and not entry.cautions for entry in library.entries)
    exercises = counted(len(library.found.exercises), "exercise")
    click.echo(f"{exercises}: {clean} clean, {len(library.failed)} cannot be read")
    sys.exit(code)
