"""``tapeline draw``: the drawing alone, as SVG, PDF or PNG."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import REJECTED, files_argument, paper_options, write_each

if TYPE_CHECKING:
    from diagram.planning import Plan
    from diagram.units import Units


@click.command("draw")
@files_argument
@click.option(
    "--to", type=click.Path(path_type=Path), help="A file (.svg, .pdf, .png) or a folder."
)
@click.option("--as", "kind", type=click.Choice(["svg", "pdf", "png"]), help="Kind of file.")
@click.option("--dpi", type=click.IntRange(50, 600), default=200, show_default=True,
              help="Dots per inch of a PNG.")  # fmt: skip
@paper_options
def command(
    files: tuple[Path, ...], to: Path | None, kind: str | None, dpi: int, paper: str, units: str
) -> None:
    """Draw exercises to scale."""
    from diagram.pipeline import drawing_bytes
    from diagram.writers import WriterUnavailable
    from diagram.writers.files import write_bytes

    one_file = len(files) == 1 and not files[0].is_dir() and to is not None and not to.is_dir()
    ending = to.suffix.lstrip(".").lower() if to and one_file else ""
    chosen = kind or (ending if ending in ("svg", "pdf", "png") else "svg")
    if ending and ending != chosen:
        click.echo(f"{to} does not end in .{chosen}", err=True)
        sys.exit(REJECTED)

    def write(plan: Plan, target: Path) -> None:
        data = drawing_bytes(plan, chosen, paper=paper, units=cast("Units", units), dpi=dpi)
        write_bytes(target, data)

    try:
        write_each(files, to, chosen, write)
    except WriterUnavailable as problem:
        click.echo(str(problem), err=True)
        sys.exit(REJECTED)
