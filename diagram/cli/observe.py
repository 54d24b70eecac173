"""``tapeline observe``: the observation sheets of a lesson, to be filled in with a pencil."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagram.cli.common import record_paper_options
from diagram.cli.observed import evening_of
from diagram.cli.recording import (
    DAY,
    opened,
    record_option,
    say_what_cannot_be_set,
    steps_at_hand,
    two_names,
    written,
)

if TYPE_CHECKING:
    from diagram.records.elements import Asks
    from diagram.records.step_file import Step
    from diagram.scene import Scene
    from diagram.units import Units


CAUTION = "its distances and turns are not meant for that"


@click.command("observe")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--pair", "pairs", multiple=True, metavar='"RIDER, HORSE"', help="A row.")
@click.option("--ride", metavar="NAME", help="One ride of a file that has several.")
@click.option("--group", metavar="NAME", help="One group of a lesson.")
@click.option("--height", metavar="LENGTH", help="Height of most fences; else the file's level.")
@click.option("--rounds", type=click.IntRange(1, 6), default=3, show_default=True)
@click.option("--blank", type=click.IntRange(0, 8), help="Rows for pairs not known yet.")
@click.option("--big", is_flag=True, help="At most four pairs a page: for cold hands.")
@click.option(
    "--ask", "asked", multiple=True, metavar="PLACE=WHAT",
    help="Asked otherwise tonight: 2=6 strides, 4=3' high, 5=2'9\"wide.",
)  # fmt: skip
@click.option("--timed", multiple=True, metavar="PLACE", help="Take the seconds here.")
@click.option("--step", "step_file", type=click.Path(path_type=Path), help="A step file or folder.")
@click.option("--on", type=DAY, help="The day of the lesson; else today.")
@click.option("--to", type=click.Path(path_type=Path), help="A PDF, or a CSV to fill in.")
@record_option
@record_paper_options
def command(
    files: tuple[Path, ...], pairs: tuple[str, ...], ride: str | None, group: str | None,
    height: str | None, rounds: int, blank: int | None, big: bool, asked: tuple[str, ...],
    timed: tuple[str, ...], step_file: Path | None, on: date | None, to: Path | None,
    record_file: Path | None, paper: str, units: Units,
) -> None:  # fmt: skip
    """Print observation sheets: a row for each round of each pair, a column for each element.

    FILES are exercises, or lessons with all their exercises in order. A sheet gets a number;
    `record add --sheet NUMBER` asks in its order. Where a lesson changes the height of most
    fences, the next sheet begins.
    """
    from diagram.drawing.observation import pages_of
    from diagram.drawing.observed_columns import shortened
    from diagram.records.elements import too_high
    from diagram.records.history import read_history
    from diagram.records.observing import observation_sheet
    from diagram.records.sheets import MOST_PAIRS, new_sheet
    from diagram.records.template import template_bytes
    from diagram.sections.page import PAPERS
    from diagram.writers.record import pages_bytes

    named = [two_names(pair) for pair in pairs]
    say_what_cannot_be_set(name for pair in named for name in pair)
    evening = evening_of(
        files, ride=ride, group=group, height_mm=_height(height), named=bool(named)
    )  # fmt: skip
    table = to is not None and to.suffix.lower() == ".csv"
    if table and len(evening.sheets) > 1:
        raise click.UsageError("these are several sheets: print them, then record template NUMBER")
    day = on or date.today()
    if blank is None:
        blank = 0 if named else min(evening.riders or MOST_PAIRS, MOST_PAIRS)
    short, long = PAPERS[paper]
    scenes: list[Scene] = []
    numbers: list[str] = []
    with opened(record_file) as record:
        steps, asks = steps_at_hand(step_file), _asks(asked)
        for ridden in evening.sheets:
            for one in ridden:
                if said := too_high(one.plan, one.height_mm, asks):
                    click.echo(f"{said}: {CAUTION}", err=True)
            sheet = new_sheet(
                record, [one.plan for one in ridden], named, height_mm=ridden[0].height_mm,
                rounds=rounds, timed=frozenset(timed), asks=asks if asks.places else None,
                changed=[one.asks for one in ridden],
            )  # fmt: skip
            numbers.append(str(sheet.number))
            if to is not None and table:
                written(to, template_bytes(sheet), private=True)
                return
            page = observation_sheet(
                sheet, read_history(record), day, step=_step(steps, sheet.height_mm),
                blank=blank, big=big, units=units,
            )  # fmt: skip
            scenes += pages_of(page, (long, short))
            for column, words in shortened(page, (long, short)):
                whole = f"{column.called} {column.name}: {column.clauses[-1]}"
                said = f"printed: {words}; say it shorter with on the sheet:"
                click.echo(f"{whole}\n  {said}", err=True)
        target = to or Path("output") / f"sheet-{'-'.join(numbers)}.pdf"
        written(target, pages_bytes(scenes), private=True)


def _height(said: str | None) -> int | None:
    from diagram.units import UnitError, parse_length

    if said is None:
        return None
    try:
        return round(parse_length(said) * 1000)
    except UnitError as problem:
        raise click.UsageError(f"--height: {problem.message}; {problem.hint}") from None


def _asks(said: tuple[str, ...]) -> Asks:
    from diagram.records.elements import Asks
    from diagram.units import UnitError, parse_length

    asks = Asks()
    for one in said:
        match = re.fullmatch(r"(\d{1,3}[a-z]?)=(.+?)(\s*wide)?", one.strip())
        if not match:
            raise click.UsageError(f"--ask {one}: write it like 2=6, 4a=3' or 5=2'9\"wide")
        place, what, wide = match[1], match[2], match[3]
        if what.isdigit() and not wide:
            asks.strides[place] = int(what)
            continue
        try:
            length = round(parse_length(what) * 1000)
        except UnitError as problem:
            raise click.UsageError(f"--ask {one}: {problem.message}; {problem.hint}") from None
        (asks.spreads if wide else asks.heights)[place] = length
    return asks


def _step(steps: tuple[Step, ...], height_mm: int) -> Step | None:
    """The step that begins at the height of the sheet, or nearest below it."""
    below = [step for step in steps if step.from_mm <= height_mm]
    return max(below, key=lambda step: step.from_mm) if below else None
