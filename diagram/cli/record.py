"""``tapeline record``: riders, horses and what was seen of them, kept for years in one file."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from diagram.cli.common import reading
from diagram.cli.correcting import SIZES, correct, millimetres
from diagram.cli.recording import (
    DAY,
    opened,
    record_option,
    say_what_cannot_be_set,
    two_names,
    written,
)
from diagram.plain import json_text


@click.group("record")
def command() -> None:
    """Keep what was seen in the arena: riders, horses, rounds.

    One file in your data folder, readable by you only, or the one that --record names. Names in
    it never enter cards, drawings or anything that is handed on.
    """


command.add_command(correct)


@command.command("rider")
@click.argument("name")
@click.option("--born", type=click.IntRange(1900, 2200), help="Year of birth.")
@click.option("--since", type=DAY, help="Tries before are not looked at; else today.")
@click.option("--note", default="")
@record_option
def rider(
    name: str, born: int | None, since: date | None, note: str, record_file: Path | None
) -> None:
    """Add a rider."""
    from diagram.records.changes import Writer
    from diagram.records.people import add_person, checked_name

    with opened(record_file) as record, record.writing():
        writer = Writer(record, "add")
        add_person(writer, name, since or date.today(), birth_year=born, note=note)
    click.echo(f"added {checked_name(name)}")
    say_what_cannot_be_set([name])


@command.command("horse")
@click.argument("name")
@click.option("--size", type=click.Choice(SIZES), default="horse", show_default=True)
@click.option("--stride", metavar="LENGTH", help="Its own canter stride, where that is known.")
@click.option("--since", type=DAY, help="Tries before are not looked at; else today.")
@click.option("--note", default="")
@record_option
def horse(
    name: str, size: str, stride: str | None, since: date | None, note: str,
    record_file: Path | None,
) -> None:  # fmt: skip
    """Add a horse or pony."""
    from diagram.records.changes import Writer
    from diagram.records.people import add_horse, checked_name

    stride_mm = millimetres("--stride", stride) if stride else None
    with opened(record_file) as record, record.writing():
        writer = Writer(record, "add")
        add_horse(
            writer, name, since or date.today(), size=size, stride_mm=stride_mm, note=note
        )  # fmt: skip
    click.echo(f"added {checked_name(name)}")
    say_what_cannot_be_set([name])


@command.command("add")
@click.option("--sheet", "number", type=int, required=True, help="The number on the sheet.")
@click.option("--from", "file", type=click.Path(path_type=Path), help="A filled CSV of the sheet.")
@click.option("--date", "on", type=DAY, help="The day of the lesson; else asked, or today.")
@click.option("--seen-by", default="", help="Who held the pencil.")
@click.option("--footing", default="", help="Footing and weather.")
@click.option("--pair", "pairs", multiple=True, metavar='"RIDER, HORSE"', help="Another row.")
@record_option
def add(
    number: int, file: Path | None, on: date | None, seen_by: str, footing: str,
    pairs: tuple[str, ...], record_file: Path | None,
) -> None:  # fmt: skip
    """Type a sheet in, key by key in its order, or read it from a CSV.

    Started again for the same sheet and day, it goes on where it stopped.
    """
    from diagram.cli.adding import from_csv, typed
    from diagram.records.history import read_sheet
    from diagram.records.sheets import add_rows

    with opened(record_file) as record:
        read_sheet(record, number)
        if pairs:
            add_rows(record, number, [two_names(pair) for pair in pairs])
        if file is not None:
            from_csv(record, number, file, on or date.today(), seen_by, footing)
            return
        typed(record, number, on, seen_by, footing)


@command.command("template")
@click.argument("number", type=int)
@click.option("--to", type=click.Path(path_type=Path), help="A CSV file.")
@record_option
def template(number: int, to: Path | None, record_file: Path | None) -> None:
    """Write the empty table of a sheet as CSV, to fill in and read with record add --from."""
    from diagram.records.history import read_sheet
    from diagram.records.template import template_bytes

    with opened(record_file) as record:
        data = template_bytes(read_sheet(record, number))
    written(to or Path("output") / f"sheet-{number}.csv", data, private=True)


@command.command("list")
@click.argument(
    "what", default="pairs",
    type=click.Choice(["pairs", "riders", "horses", "rounds", "sheets", "changes", "copies"]),
)  # fmt: skip
@record_option
def listing(what: str, record_file: Path | None) -> None:
    """List pairs, riders, horses, rounds, sheets or changes."""
    from diagram.cli.record_lists import lines_of

    with opened(record_file) as record:
        for line in lines_of(record, what):
            click.echo(line)


@command.command("undo")
@record_option
def undo_command(record_file: Path | None) -> None:
    """Take the last action back; again for the one before."""
    from diagram.records.changes import undo

    with opened(record_file) as record:
        taken = undo(record)
    click.echo(f"undone: {taken.words}")


@command.command("export")
@click.argument("folder", type=click.Path(path_type=Path))
@record_option
def export(folder: Path, record_file: Path | None) -> None:
    """Write everything as CSV, a file for each table, without loss. It holds names."""
    from diagram.records.exchange import csv_files

    with opened(record_file) as record:
        files = csv_files(record)
    if folder.exists() and not folder.is_dir():
        raise click.UsageError(f"{folder} is no folder")
    for name, data in files.items():
        written(folder / name, data, private=True)


@command.command("import")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@record_option
def import_command(folder: Path, record_file: Path | None) -> None:
    """Read a folder that record export wrote, into a new record."""
    from diagram.records.exchange import read_csv_files

    with opened(record_file) as record:
        counts = read_csv_files(record, folder)
    click.echo(", ".join(f"{n} {table.replace('_', ' ')}" for table, n in counts.items() if n))


@command.command("person")
@click.argument("name")
@click.option("--to", type=click.Path(path_type=Path), help="A JSON file; else shown here.")
@record_option
def person(name: str, to: Path | None, record_file: Path | None) -> None:
    """Everything the record has about one rider, to hand to them or their parents."""
    from diagram.records.erase import person_export

    with opened(record_file) as record:
        text = json_text(person_export(record, name))
    if to is None:
        click.echo(text)
    else:
        written(to, f"{text}\n".encode(), private=True)


@command.command("forget")
@click.argument("name")
@click.option("--yes", is_flag=True, help="Do not ask.")
@record_option
def forget_command(name: str, yes: bool, record_file: Path | None) -> None:
    """Remove a rider for good: rounds, notes, the list of changes, copies, free pages."""
    from diagram.cli.record_lists import forgotten_lines
    from diagram.records.erase import forget

    with opened(record_file) as record:
        if not yes:
            click.confirm(f"Remove {name} for good? This cannot be undone", abort=True)
        found = forget(record, name)
    for line in forgotten_lines(found):
        click.echo(line)
    if found.left or found.unreached:
        sys.exit(1)


@command.command("copy")
@click.argument("target", type=click.Path(path_type=Path))
@record_option
def copy(target: Path, record_file: Path | None) -> None:
    """Write a checked copy, for a stick or a synced folder; the record remembers where it lies."""
    from diagram.records.file import keep_copy

    with opened(record_file) as record:
        click.echo(keep_copy(record, target))


@command.command("figures")
@click.argument("rider")
@click.argument("horse")
@click.option("--on", type=DAY, help="As it stood on a day; else today.")
@record_option
def figures(rider: str, horse: str, on: date | None, record_file: Path | None) -> None:
    """Strides and speed against the plan, canter in and out, left and right, what has changed."""
    from diagram.cli.record_lists import figure_lines
    from diagram.records.history import read_history
    from diagram.records.people import find_pair

    with opened(record_file) as record:
        history = read_history(record)
        pair = find_pair(history, rider, horse)
        for line in figure_lines(history, pair, on or date.today()):
            click.echo(line)


@command.command("demo")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@record_option
def demo(folder: Path, record_file: Path | None) -> None:
    """Fill a new record with two invented winters over the exercises of FOLDER, to try it on."""
    from diagram.pipeline import plan
    from diagram.records.invented import PLAN_NAMES, invented_record

    if record_file is None:
        raise click.UsageError("name a new file with --record: invented rounds do not mix")
    if record_file.exists():
        raise click.UsageError(f"{record_file} is there already")
    with reading():
        plans = {name: plan(folder / f"{name}.yaml") for name in PLAN_NAMES}
    with opened(record_file) as record:
        invented_record(record, plans)
    click.echo(f"{record_file}: all people, horses and figures are invented")


@command.command("steps")
@click.argument("folder", type=click.Path(path_type=Path), default=Path("steps"))
def steps(folder: Path) -> None:
    """Write the step files that come with the program into FOLDER, to be changed there.

    `readiness` and `observe` take the files of steps/ here or in the library before their own.
    """
    from diagram.records.step_file import SHIPPED

    files = sorted(SHIPPED.glob("*.yaml"))
    there = [folder / file.name for file in files if (folder / file.name).exists()]
    if there:
        raise click.UsageError(f"{there[0]} is there already; name another folder")
    for file in files:
        written(folder / file.name, file.read_bytes())
