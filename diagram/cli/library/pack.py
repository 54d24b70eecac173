"""``tapeline library pack``: a library as one file to hand on."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from diagram.cli.common import CLEAN, refused, show
from diagram.cli.library.shared import folder_argument, opened, tell_of_failures


@click.command("pack")
@folder_argument
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), required=True,
              metavar="FILE", help="The file to write, ending in .tapeline.")  # fmt: skip
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def command(folder: Path, to: Path, force: bool) -> None:
    """Pack exercises, lessons, arenas, stores and tables into one file, with a manifest.

    Records of horses and riders, notes and results stay at home.
    """
    from diagram.library.manifest import PackError
    from diagram.library.packing import pack
    from diagram.plain import counted
    from diagram.writers.files import write_bytes

    if to.suffix != ".tapeline":
        refused(f"{to} does not end in .tapeline")
    if to.is_symlink() or (to.exists() and not force):
        refused(f"{to} is there already; --force writes over it, but never a link")
    library = opened(folder)
    tell_of_failures(library)
    show(library.problems, {})
    try:
        packed = pack(library)
        write_bytes(to, packed.data)
    except PackError as problem:
        refused(f"not packed: {problem}")
    except OSError as problem:
        refused(f"cannot write {to}: {problem.strerror or problem}")
    if not library.about.licence:
        click.echo("library.yaml names no licence: say what others may do with it", err=True)
    click.echo(f"{to}: {counted(len(packed.paths), 'file')}, {len(packed.data) // 1000 + 1} kB")
    sys.exit(CLEAN)
