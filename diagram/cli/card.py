"""``tapeline card``: the lesson card as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import files_argument, paper_options, refused, write_each
from diagram.folder import is_folder

if TYPE_CHECKING:
    from diagram.planning import Plan
    from diagram.units import Units


@click.command("card")
@files_argument
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    help="A PDF file, for several exercises one after another, or a folder.",
)
@click.option(
    "--sides",
    type=click.IntRange(1, 2),
    default=2,
    show_default=True,
    help="Two sides of one sheet, or all on one side where that holds it.",
)
@paper_options
def command(files: tuple[Path, ...], to: Path | None, sides: int, paper: str, units: str) -> None:
    """Print lesson cards: the drawing, every element, and what to be careful of."""
    from diagram.pipeline import card

    if to and not is_folder(to) and to.suffix and to.suffix.lower() != ".pdf" and len(files) == 1:
        refused(f"{to}: a card is a PDF")

    def write(plan: Plan, target: Path) -> None:
        card(plan, target, paper=paper, units=cast("Units", units), sides=sides)

    write_each(files, to, "pdf", write, "card")
