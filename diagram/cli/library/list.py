"""``tapeline library list``: the exercises of a folder by what they teach."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.library.shared import (
    folder_argument,
    lines,
    opened,
    tell_of_failures,
    units_option,
)
from diagram.plain import counted, json_text

if TYPE_CHECKING:
    from diagram.units import Units


@click.command("list")
@folder_argument
@units_option
@click.option("--json", "as_json", is_flag=True, help="Every figure, for machines.")
def command(folder: Path, units: str, as_json: bool) -> None:
    """List exercises in groups by what they teach, each from low to high."""
    from msgspec import to_builtins

    from diagram.library.said import group_title

    library = opened(folder)
    tell_of_failures(library)
    if as_json:
        click.echo(json_text(to_builtins(library.entries)))
        return
    for group in library.groups:
        click.echo(group_title(group))
        own = [entry for entry in library.entries if entry.main == group]
        click.echo("\n".join(lines(own, cast("Units", units))) + "\n")
    click.echo(counted(len(library.entries), "exercise"))
