"""``tapeline draw``: the drawing alone, as a file of any kind that there is a writer for."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import files_argument, paper_options, refused, show, write_each
from diagram.folder import is_folder

if TYPE_CHECKING:
    from diagram.pipeline import ViewName
    from diagram.planning import Plan
    from diagram.units import Units


@click.command("draw")
@files_argument
@click.option(
    "--to", type=click.Path(path_type=Path), help="A file, whose ending says the kind, or a folder."
)
@click.option("--as", "kind", metavar="KIND",
              help="Kind of file by its ending: svg, pdf, png, dxf (in metres on the ground), or "
              "another that there is a writer for.")  # fmt: skip
@click.option("--dpi", type=click.IntRange(50, 600), default=200, show_default=True,
              help="Dots per inch of a PNG.")  # fmt: skip
@click.option("--view", type=click.Choice(["sheet", "phases", "phone", "wall", "colouring"]),
              default="sheet", show_default=True,
              help="One sheet; with a small drawing of each phase; upright for a phone; a PDF of "
              "sheets to put together; black outlines to colour in.")  # fmt: skip
@click.option("--scale", help="Scale of --view wall.", metavar="1:N", default="1:100",
              show_default=True)  # fmt: skip
@click.option("--watch", "watching", is_flag=True,
              help="Draw again on every save, on a page of this machine only.")  # fmt: skip
@click.option(
    "--why",
    is_flag=True,
    help="Show the terms of the arrangement, and the places looked at for each label.",
)
@paper_options
def command(
    files: tuple[Path, ...],
    to: Path | None,
    kind: str | None,
    dpi: int,
    view: str,
    scale: str,
    watching: bool,
    why: bool,
    paper: str,
    units: str,
) -> None:
    """Draw exercises to scale."""
    from diagram.pipeline import drawing_of, drawn_bytes
    from diagram.writers import WriterUnavailable, scene_writer, scene_writers
    from diagram.writers.files import write_bytes

    if watching:
        from diagram.cli.watch import watch

        if len(files) != 1 or files[0].is_dir():
            refused("--watch goes with one exercise")
        watch(files[0], paper, cast("Units", units))
        return
    one_file = len(files) == 1 and not is_folder(files[0]) and to is not None and not is_folder(to)
    ending = to.suffix.lstrip(".").lower() if to and one_file else ""
    usual = {"wall": "pdf", "phone": "png"}.get(view, "svg")
    chosen = kind or (ending if scene_writer(ending) else usual)
    if scene_writer(chosen) is None:
        kinds = ", ".join(scene_writers())
        refused(f"a drawing is written as {kinds}, not as {chosen}")
    denominator = _denominator(scale)
    if ending and ending != chosen:
        refused(f"{to} does not end in .{chosen}")

    def write(plan: Plan, target: Path) -> None:
        seen = cast("ViewName", view)
        drawn = drawing_of(plan, paper, cast("Units", units), view=seen, scale=denominator, why=why)
        write_bytes(target, drawn_bytes(drawn, chosen, paper=paper, dpi=dpi, view=seen))
        show(drawn.findings, {})
        if why:
            from diagram.drawing.why import why_text
            from diagram.placing.designer.reckoning import costs_of, costs_text

            click.echo(costs_text(costs_of(plan.exercise, plan.limits, plan.layout.poses)))
            click.echo(why_text(drawn.labels, drawn.unplaced))

    try:
        write_each(files, to, _named(view, chosen), write, "drawing")
    except WriterUnavailable as problem:
        refused(str(problem))


def _named(view: str, kind: str) -> str:
    """The ending of a drawing in a folder: no other view and no card is ever called the same."""
    if view != "sheet":
        return f"{view}.{kind}"
    return "drawing.pdf" if kind == "pdf" else kind


SCALES = (20.0, 2000.0)


def _denominator(text: str) -> float:
    """200 for ``1:200``. Ends the program with a message for anything else."""
    match = re.fullmatch(r"1 ?: ?(\d+(?:\.\d+)?)", text.strip())
    if not match or not SCALES[0] <= float(match[1]) <= SCALES[1]:
        refused(f"{text!r} is not a scale: write 1:100, between 1:20 and 1:2000")
    return float(match[1])
