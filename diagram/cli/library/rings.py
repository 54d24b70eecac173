"""``tapeline library rings``: the smallest rings that exercises can be laid out in."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from diagram.cli.common import CLEAN, REJECTED, progress, refused, writing
from diagram.cli.library.shared import folder_argument, opened


@click.command("rings")
@folder_argument
@click.option("--jobs", type=click.IntRange(1), help="How many at once; all cores if left out.")
def command(folder: Path, jobs: int | None) -> None:
    """Work out the smallest rings that each exercise can be laid out in anew.

    They are written into rings.yaml in the folder, and lists, search and pages go by them. Only
    exercises whose fences or lines have changed are worked out again, and all after a new version
    of this program that lays out otherwise; it takes some seconds each.
    """
    from diagram.library.rings import RINGS_FILE, read_rings, rings_text, work_out
    from diagram.plain import counted
    from diagram.writers.files import write_bytes

    library = opened(folder, jobs)
    file = folder / RINGS_FILE
    if file.is_symlink():
        refused(f"{file} is a link, which is not followed")
    known = read_rings(folder)
    if file.exists() and not known:
        refused(f"{file} is there and was not written by this command")
    stands = {entry.stem: entry.stands for entry in library.entries}
    with progress("looking") as told:
        found, failed = work_out(library.paths, stands, known, jobs, told)
    for stem, why in failed:
        click.echo(f"{stem}: {why}", err=True)
    anew = sum(known.get(stem) != rings for stem, rings in found.items())
    with writing(file):
        write_bytes(file, rings_text(found).encode())
    click.echo(f"{file}: {counted(len(found), 'exercise')}, {anew} of them worked out anew")
    sys.exit(REJECTED if failed else CLEAN)
