"""The report on what was built, as ``tapeline set-out EXERCISE --measured FILE`` prints it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagram.cli.common import CLEAN, REJECTED, STOPPED, show
from diagram.diagnostics import RejectedError
from diagram.plain import json_text

if TYPE_CHECKING:
    from rich.console import Console

    from diagram.planning import Plan
    from diagram.survey.as_built import AsBuilt
    from diagram.trade.words import Units
    from diagram.units import Units as PrintedUnits


def report(
    plan: Plan,
    measured: Path,
    *,
    tape_error_m: float,
    tape_length_m: float,
    within_m: float | None = None,
    feet_free: bool = False,
    units: PrintedUnits = "feet",
    paper: str = "A4",
    as_json: bool = False,
    to: Path | None = None,
) -> int:
    """Print what was built from the tapes in `measured`, and write it to `to` as PDF if named.

    `tape_error_m` is the standard error of one tape, `within_m` how exactly each line is to be
    set. Returns the exit code: 0 all lines ride, 1 something must be moved or taped again, 2 a
    file that cannot be read or written.
    """
    from diagram.survey.as_built import Options, as_built
    from diagram.survey.measured import read_measured

    try:
        tapes = read_measured(measured, plan, tape_error_m)
    except RejectedError as problem:
        show(problem.diagnostics, problem.sources)
        return REJECTED
    found = as_built(plan, tapes, Options(tape_length_m, within_m, feet_free))
    if to is not None:
        from diagram.writers.as_built import as_built_pdf
        from diagram.writers.files import write_bytes

        try:
            write_bytes(to, as_built_pdf(found, paper=paper, units=units))
        except OSError as problem:
            click.echo(f"cannot write {to}: {problem.strerror or problem}", err=True)
            return REJECTED
        except ValueError as problem:
            click.echo(str(problem), err=True)
            return REJECTED
    if as_json:
        from diagram.writers.as_built import as_built_values

        click.echo(json_text(as_built_values(found)))
    else:
        _print(found, "metres" if units == "metres" else "feet")
        if to is not None:
            click.echo(to)
    return CLEAN if found.all_well else STOPPED


def _print(found: AsBuilt, units: Units) -> None:
    from rich.console import Console
    from rich.text import Text

    from diagram.survey import as_built_words as say
    from diagram.survey.remedy_words import moves_words

    console = Console(highlight=False, width=None if sys.stdout.isatty() else 140)
    console.print(Text(f"{found.plan.definition.title}: as built", "bold"))
    for sentence in say.verdict(found):
        console.print(Text(sentence, "bold"))
    _list(console, "Tapes that do not agree", [say.wrong_words(w, units) for w in found.wrong])
    for title, texts in moves_words(found, units):
        _list(console, title, texts)
    _tables(console, found, units)
    _list(console, "Still to be taped", say.still_to_tape(found))
    checks = [f"{finding.severity}: {finding.message}" for finding in found.findings]
    _list(console, "What the checks say of it now", checks)
    console.print(Text(f"{say.AS_RIDDEN} {say.figures(found, units)}", "dim"))


def _list(console: Console, title: str, texts: list[str]) -> None:
    from rich.text import Text

    if not texts:
        return
    console.print(Text(title, "bold"))
    for text in texts:
        # Only a terminal has an edge to break lines at.
        console.print(Text(f"  {text}"), soft_wrap=not sys.stdout.isatty())


def _tables(console: Console, found: AsBuilt, units: Units) -> None:
    from rich.table import Table
    from rich.text import Text

    from diagram.survey import as_built_words as say

    lines = Table("line", "planned", "how it rides now", "±", "angle", "")
    for now in found.lines:
        row = say.line_words(now, found, units)
        texts = (row.ends, row.planned, row.now, row.error, row.angle, row.state)
        lines.add_row(*(Text(text) for text in texts))
    if found.lines:
        console.print(lines)
    fences = Table("fence", "stands", "how sure", "tapes", "")
    for fence in found.fences:
        cells = (
            fence.fence, say.standing_words(fence, units), say.ellipse_words(fence, units),
            str(fence.tapes or ""), say.trust_words(fence, units),
        )  # fmt: skip
        fences.add_row(*(Text(cell) for cell in cells))
    console.print(fences)
