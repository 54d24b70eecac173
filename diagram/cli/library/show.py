"""``tapeline library show``: one exercise in words, with what to ride before and after it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import refused
from diagram.cli.library.shared import opened, units_option
from diagram.plain import counted

if TYPE_CHECKING:
    from diagram.units import Units


@click.command("show")
@click.argument("name")
@click.option("--in", "folder", type=click.Path(path_type=Path, file_okay=False), default=".",
              show_default=True, help="Folder of the library.")  # fmt: skip
@units_option
def command(name: str, folder: Path, units: str) -> None:
    """Show the exercise NAME: its file without the ending, or a part that only one has."""
    from diagram.diagnostics import near
    from diagram.library import said
    from diagram.library.folding import fold

    library = opened(folder)
    entry = next((e for e in library.entries if e.stem == name.removesuffix(".yaml")), None)
    if entry is None:
        # A part of one name alone is enough.
        having = [e for e in library.entries if fold(name) in e.stem or fold(name) in fold(e.title)]
        entry = having[0] if len(having) == 1 else None
    if entry is None:
        hint = near(name, [e.stem for e in having or library.entries])
        refused(f'there is no exercise "{name}" here; {hint}')
    own = cast("Units", units)
    titles = {e.stem: e.title for e in library.entries}
    click.echo(f"{entry.title}\n{entry.purpose}\n")
    parts = {
        "teaches": ", ".join(entry.teaches),
        "skills": ", ".join(entry.skills),
        "figures": said.facts_line(entry, own),
        "for": ", ".join(entry.suits),
        "riders": f"up to {entry.riders}" if entry.riders else "",
        "two groups": "at once" if entry.two_groups else "",
        "drawn for": f"{entry.arena}, {said.ring(entry.arena_size, own)}",
        "found": f"{counted(entry.stops, 'stop')}, {counted(entry.cautions, 'caution')}",
        "ride first": ", ".join(titles[s] for s in library.links.before[entry.stem]),
        "then": ", ".join(titles[s] for s in library.links.after[entry.stem]),
        "authors": ", ".join(entry.authors or library.about.authors),
        "licence": entry.licence or library.about.licence or "",
        "file": str(library.paths[entry.stem]),
    }
    for key, text in parts.items():
        if text:
            click.echo(f"{key + ':':<12}{text}")
