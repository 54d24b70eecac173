"""``tapeline library unpack``: a packed library opened into a folder."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from diagram.cli.common import CLEAN, refused, writing

CHOICES = ("ask", "keep", "replace", "both")


@click.command("unpack")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--to", type=click.Path(path_type=Path, file_okay=False), required=True,
              metavar="FOLDER", help="Folder to unpack into.")  # fmt: skip
@click.option("--clashes", type=click.Choice(CHOICES), default="ask", show_default=True,
              help="What to do where another file of the name is there.")  # fmt: skip
@click.option("--dry-run", is_flag=True, help="Say what is new and write nothing.")
def command(file: Path, to: Path, clashes: str, dry_run: bool) -> None:
    """Look through a packed library, say what is new in it, and add it to a folder."""
    from diagram.library.manifest import PackError
    from diagram.library.unpacking import (
        compare,
        open_pack,
        other_name,
        unreadable,
        write_pack,
    )

    try:
        opened = open_pack(file)
        merge = compare(opened, to)
    except PackError as problem:
        refused(f"{file} is not opened: {problem}")
    except OSError as problem:
        refused(f"cannot read {file}: {problem.strerror or problem}")
    _tell(opened.manifest.title, opened.manifest.authors, opened.manifest.licence)
    for name in merge.new:
        click.echo(f"  new      {name}")
    for name in merge.clashes:
        click.echo(f"  other    {name}")
    click.echo(f"  the same {len(merge.same)}")
    for name, why in merge.blocked:
        click.echo(f"{name}: cannot be written, {why}", err=True)
    for name, why in unreadable(opened):
        click.echo(f"{name}: this program cannot read it: {why}", err=True)
    if dry_run:
        sys.exit(CLEAN)
    if merge.blocked:
        refused("nothing is written")
    names = {name: name for name in merge.new}
    for name in merge.clashes:
        choice = clashes if clashes != "ask" else _asked(name)
        if choice == "replace":
            names[name] = name
        elif choice == "both":
            names[name] = other_name(name, to)
    with writing(f"into {to}"):
        write_pack(opened, to, names)
    click.echo(f"{to}: {len(names)} written, {len(merge.clashes)} were there with other content")
    sys.exit(CLEAN)


def _tell(title: str, authors: tuple[str, ...], licence: str) -> None:
    by = f", by {', '.join(authors)}" if authors else ""
    click.echo(f"{title}{by}. Licence: {licence or 'none said; ask before handing it on'}")


def _asked(name: str) -> str:
    """What to do about one clash; without anyone to ask, the file that is there is kept."""
    if not sys.stdin.isatty():
        click.echo(f"{name}: kept as it is; --clashes says otherwise", err=True)
        return "keep"
    choice: str = click.prompt(
        f"{name} is there with other content", type=click.Choice(CHOICES[1:]), default="keep"
    )
    return choice
