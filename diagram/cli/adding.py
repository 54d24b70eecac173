"""A filled sheet goes into the record: typed in at a terminal, or from a CSV."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagram.cli.common import refused
from diagram.cli.recording import DAY
from diagram.plain import counted

if TYPE_CHECKING:
    from diagram.records.file import RecordFile
    from diagram.records.values import Pair


def typed(
    record: RecordFile, number: int, on: date | None, seen_by: str, footing: str
) -> None:  # fmt: skip
    """Ask for a sheet key by key; a terminal is wanted."""
    from diagram.cli.keys import Keys
    from diagram.cli.typing_in import TypingIn
    from diagram.records.history import read_sheet

    if not sys.stdin.isatty():
        refused("typing in wants a terminal; a CSV is read with --from FILE")
    sheet = read_sheet(record, number)
    click.echo(f"sheet {number}: {sheet.title}")
    if not sheet.pairs:
        refused('nobody stands on this sheet: add rows with --pair "RIDER, HORSE"')
    day = on or click.prompt("date", default=date.today(), type=DAY)
    who = seen_by or click.prompt("seen by", default="", show_default=False)

    with Keys() as keys:

        def line(question: str) -> str:
            with keys.paused():
                return str(click.prompt(question, default="", show_default=False))

        count = TypingIn(record, sheet, day, who, footing, keys.read, line).run()
    back = "; record undo takes the last one back" if count else ""
    click.echo(f"{counted(count, 'round')} written{back}")
    if count:
        _say_what_is_too_early(sheet.pairs, day)


def from_csv(
    record: RecordFile, number: int, file: Path, on: date, seen_by: str, footing: str
) -> None:  # fmt: skip
    """Read a filled table of a sheet, all of it or nothing. Raises RejectedError."""
    from diagram.records.changes import Writer
    from diagram.records.exchange import text_of
    from diagram.records.history import read_sheet
    from diagram.records.sheets import day_of, keep_round
    from diagram.records.template import read_template

    sheet = read_sheet(record, number)
    rounds = read_template(sheet, text_of(file), str(file))
    if not rounds:
        refused(f"no round is filled in in {file}: nothing was written")
    with record.writing():
        writer = Writer(record, "add")
        day = day_of(
            writer, on, seen_by=seen_by, arena=sheet.arena, footing=footing, sheet=number
        )  # fmt: skip
        for one in rounds:
            keep_round(writer, day, one)
    click.echo(f"{counted(len(rounds), 'round')} written; record undo takes all of it back")
    _say_what_is_too_early([one.pair for one in rounds], on)


def _say_what_is_too_early(pairs: Iterable[Pair], on: date) -> None:
    """Tell of riders and horses who are looked at only from a later day than that of a sheet."""
    late: dict[str, tuple[str, date]] = {}
    for pair in pairs:
        late[f'rider "{pair.person.name}"'] = pair.person.name, pair.person.since
        late[f'horse "{pair.horse.name}"'] = pair.horse.name, pair.horse.since
    for who, (name, since) in late.items():
        if on < since:
            click.echo(
                f"{name} is looked at from {since} on, so these rounds will not count: "
                f"record correct {who} --since {on}", err=True,
            )  # fmt: skip
