"""``tapeline set-out``: the builder's leaf for the ring crew, as PDF, CSV or JSON."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import files_argument, paper_options, reading, refused, write_each
from diagram.folder import is_folder

if TYPE_CHECKING:
    from diagram.planning import Plan
    from diagram.stakeout.crew import Crew
    from diagram.units import Units

KINDS = ("pdf", "csv", "json")


def _length(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    """A length as people write it, in metres."""
    from diagram.units import UnitError, parse_length

    if value is None:
        return None
    try:
        return parse_length(value)
    except UnitError as problem:
        raise click.BadParameter(f"{problem.message}; {problem.hint}", ctx, param) from None


@click.command("set-out")
@files_argument
@click.option(
    "--to", type=click.Path(path_type=Path), help="A file (.pdf, .csv, .json) or a folder."
)
@click.option("--as", "kind", type=click.Choice(KINDS), help="Kind of file.")
@click.option("--round", "rounding", callback=_length, metavar="LENGTH",
              help="Readings in steps of this; 1 in or 5 cm when left out.")  # fmt: skip
@click.option("--tape-error", callback=_length, metavar="LENGTH",
              help="How far one reading may be off; 2 cm when left out.")  # fmt: skip
@click.option("--tape-length", callback=_length, metavar="LENGTH",
              help="Length of the tapes; 100 ft when left out.")  # fmt: skip
@click.option("--store", default="", metavar="POINT",
              help="Where equipment comes from: gate, corner, letter or post.")  # fmt: skip
@click.option("--track", is_flag=True, help="Draw the ridden line, faint.")
@click.option("--after", type=click.Path(path_type=Path), metavar="FILE",
              help="The exercise that stands there now: only what moves is set out.")  # fmt: skip
@click.option("--form", is_flag=True,
              help="Add an empty form for measured tapes; write it as CSV too.")  # fmt: skip
@click.option("--measured", type=click.Path(path_type=Path), metavar="FILE",
              help="Tapes read afterwards (CSV): what was really built.")  # fmt: skip
@click.option("--within", callback=_length, metavar="LENGTH",
              help="How exactly lines are to be set; 6 in or 1 ft when left out.")  # fmt: skip
@click.option("--feet-free", is_flag=True,
              help="Take no fence to have its planned shape.")  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="With --measured: for machines.")
@paper_options
def command(
    files: tuple[Path, ...],
    to: Path | None,
    kind: str | None,
    rounding: float | None,
    tape_error: float | None,
    tape_length: float | None,
    store: str,
    track: bool,
    after: Path | None,
    form: bool,
    measured: Path | None,
    within: float | None,
    feet_free: bool,
    as_json: bool,
    paper: str,
    units: str,
) -> None:
    """Print the builder's leaf: every fence line by line, and a second leaf as the check."""
    from diagram.stakeout.crew import crew_for

    ending = _kind(files, to, kind)
    try:
        crew = crew_for(
            cast("Units", units), tape_error=tape_error, tape_length=tape_length,
            rounding=rounding, store=store,
        )  # fmt: skip
    except ValueError as problem:
        refused(str(problem))
    before = _planned(after) if after else None
    if measured is not None:
        from diagram.cli.as_built_report import report
        from diagram.pipeline import setting_of

        if len(files) != 1 or is_folder(files[0]):
            refused("--measured goes with one exercise")
        plan = setting_of(_planned(files[0]), crew, before).plan
        sys.exit(report(
            plan, measured, tape_error_m=crew.tape_error, tape_length_m=crew.tape_length,
            within_m=within, feet_free=feet_free, units=cast("Units", units), paper=paper,
            as_json=as_json, to=to,
        ))  # fmt: skip

    def write(plan: Plan, target: Path) -> None:
        _write(plan, target, ending, crew, before, paper=paper, track=track, form=form)

    write_each(files, to, f"set-out.{ending}", write, "leaf")


def _kind(files: tuple[Path, ...], to: Path | None, kind: str | None) -> str:
    """What to write; ends the program where `--to` and `--as` do not agree."""
    one_file = len(files) == 1 and not is_folder(files[0]) and to is not None and not is_folder(to)
    ending = to.suffix.lstrip(".").lower() if to and one_file else ""
    chosen = kind or (ending or "pdf")
    if chosen not in KINDS or (ending and ending != chosen):
        wanted = kind or ", .".join(KINDS)
        refused(f"{to} does not end in .{wanted}")
    return chosen


def _planned(file: Path) -> Plan:
    """The exercise that stands there now; ends the program where it cannot be read."""
    from diagram.pipeline import plan

    with reading():
        return plan(file)


def _write(
    plan: Plan,
    target: Path,
    kind: str,
    crew: Crew,
    after: Plan | None,
    *,
    paper: str,
    track: bool,
    form: bool,
) -> None:
    from diagram.pipeline import setting_bytes, setting_of
    from diagram.writers.files import write_bytes
    from diagram.writers.setting_csv import template_bytes

    with reading():
        setting = setting_of(plan, crew, after)
    for swap in setting.stand_ins:
        click.echo(f"{swap.fence}: built with poles of another length, see the sheet", err=True)
    for lack in setting.shortages:
        click.echo(f"{lack.words(crew.units)}; instead: {lack.instead}", err=True)
    write_bytes(target, setting_bytes(setting, kind, paper=paper, track=track, form=form))
    if form:
        stem = target.name.removesuffix(f".{kind}").removesuffix(".set-out")
        template = target.with_name(f"{stem}-measured.csv")
        write_bytes(template, template_bytes(setting))
        click.echo(template)
