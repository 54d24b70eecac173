"""``tapeline observe``: the observation sheet of a lesson, to be filled in with a pencil."""

from __future__ import annotations

import re
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from diagram.cli.common import REJECTED, paper_options, show
from diagram.cli.recording import (
    DAY,
    opened,
    record_option,
    steps_at_hand,
    two_names,
    written,
)
from diagram.diagnostics import RejectedError

if TYPE_CHECKING:
    from diagram.planning import Plan
    from diagram.records.elements import Asks
    from diagram.records.step_file import Step
    from diagram.units import Units


@click.command("observe")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--pair", "pairs", multiple=True, metavar='"RIDER, HORSE"', help="A row.")
@click.option("--ride", metavar="NAME", help="One ride of a file that has several.")
@click.option("--height", metavar="LENGTH", help="Height of most fences; else the file's level.")
@click.option("--rounds", type=click.IntRange(1, 6), default=3, show_default=True)
@click.option("--blank", type=click.IntRange(0, 8), help="Rows for pairs not known yet.")
@click.option("--big", is_flag=True, help="At most four pairs a page: for cold hands.")
@click.option(
    "--ask", "asked", multiple=True, metavar="PLACE=WHAT",
    help="Asked otherwise tonight: 2=6 strides, 4=3' high, 5=2'9\"wide.",
)  # fmt: skip
@click.option("--timed", multiple=True, type=click.IntRange(1, 120), help="Take the seconds here.")
@click.option("--step", "step_file", type=click.Path(path_type=Path), help="A step file or folder.")
@click.option("--on", type=DAY, help="The day of the lesson; else today.")
@click.option("--to", type=click.Path(path_type=Path), help="A PDF, or a CSV to fill in.")
@record_option
@paper_options
def command(
    files: tuple[Path, ...], pairs: tuple[str, ...], ride: str | None, height: str | None,
    rounds: int, blank: int | None, big: bool, asked: tuple[str, ...], timed: tuple[int, ...],
    step_file: Path | None, on: date | None, to: Path | None, record_file: Path | None,
    paper: str, units: str,
) -> None:  # fmt: skip
    """Print an observation sheet: a row for each round of each pair, a column for each element.

    The sheet gets a number; `record add --sheet NUMBER` asks in its order.
    """
    from diagram.drawing.observation import pages_of, shortened
    from diagram.records.history import read_history
    from diagram.records.observing import observation_sheet
    from diagram.records.sheets import new_sheet
    from diagram.records.template import template_bytes
    from diagram.sections.page import PAPERS
    from diagram.writers.record import pages_bytes

    plans = _plans(files, ride)
    height_mm = _height(height, plans)
    named = [two_names(pair) for pair in pairs]
    day = on or date.today()
    with opened(record_file) as record:
        steps = steps_at_hand(step_file)
        asks = _asks(asked)
        sheet = new_sheet(
            record, plans, named, height_mm=height_mm, rounds=rounds, timed=frozenset(timed),
            asks=asks if asks.places else None,
        )  # fmt: skip
        target = to or Path("output") / f"sheet-{sheet.number}.pdf"
        if target.suffix.lower() == ".csv":
            written(target, template_bytes(sheet), private=True)
            return
        blank = blank if blank is not None else (0 if named else 8)
        page = observation_sheet(
            sheet, read_history(record), day, step=_step(steps, height_mm), blank=blank, big=big,
            units=cast("Units", units),
        )  # fmt: skip
        short, long = PAPERS[paper]
        for column, words in shortened(page, (long, short)):
            whole = f"{column.number} {column.name}: {column.clauses[-1]}"
            said = f"printed: {words}; say it shorter with on the sheet:"
            click.echo(f"{whole}\n  {said}", err=True)
        written(target, pages_bytes(pages_of(page, (long, short))), private=True)


def _plans(files: tuple[Path, ...], ride: str | None) -> list[Plan]:
    """Every ride of every file, or those of one name."""
    from diagram.pipeline import plans

    found: list[Plan] = []
    wrong = False
    for file in files:
        try:
            found += [one for one in plans(file) if ride is None or one.name == ride]
        except RejectedError as problem:
            show(problem.diagnostics, problem.sources)
            wrong = True
    if wrong:
        sys.exit(REJECTED)
    if not found:
        raise click.UsageError(f"no ride is called {ride!r} in these files")
    return found


def _height(said: str | None, plans: list[Plan]) -> int:
    from diagram.units import UnitError, parse_length

    if said is None:
        level = plans[0].definition.level
        tallest = max((f.fence.measures.height_m for f in plans[0].fences), default=0.0)
        return round((level or tallest) * 1000)
    try:
        return round(parse_length(said) * 1000)
    except UnitError as problem:
        raise click.UsageError(f"--height: {problem.message}; {problem.hint}") from None


def _asks(said: tuple[str, ...]) -> Asks:
    from diagram.records.elements import Asks
    from diagram.units import UnitError, parse_length

    asks = Asks()
    for one in said:
        match = re.fullmatch(r"(\d{1,3})=(.+?)(\s*wide)?", one.strip())
        if not match:
            raise click.UsageError(f"--ask {one}: write it like 2=6, 4=3' or 5=2'9\"wide")
        place, what, wide = int(match[1]), match[2], match[3]
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
