"""``tapeline record correct``: a rider, a horse, a round or one mark put right."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import click

from diagram.cli.recording import DAY, opened, record_option

SIZES = ("horse", "pony large", "pony medium", "pony small")


def millimetres(option: str, text: str) -> int:
    """The length that an option says. Raises UsageError."""
    from diagram.units import UnitError, parse_length

    try:
        return round(parse_length(text) * 1000)
    except UnitError as problem:
        raise click.UsageError(f"{option}: {problem.message}; {problem.hint}") from None


@click.group("correct")
def correct() -> None:
    """Correct a rider, a horse, a round or one mark."""


@correct.command("rider")
@click.argument("name")
@click.option("--name", "new_name")
@click.option("--born", "birth_year", type=click.IntRange(1900, 2200))
@click.option("--since", type=DAY)
@click.option("--until", type=DAY)
@click.option("--note")
@record_option
def correct_rider(name: str, new_name: str | None, record_file: Path | None, **values: Any) -> None:
    """Change what is said of a rider."""
    _correct("person", name, new_name, values, record_file)


@correct.command("horse")
@click.argument("name")
@click.option("--name", "new_name")
@click.option("--size", type=click.Choice(SIZES))
@click.option("--stride")
@click.option("--since", type=DAY)
@click.option("--until", type=DAY)
@click.option("--note")
@record_option
def correct_horse(
    name: str, new_name: str | None, stride: str | None, record_file: Path | None, **values: Any
) -> None:
    """Change what is said of a horse."""
    if stride is not None:
        values["stride_mm"] = millimetres("--stride", stride)
    _correct("horse", name, new_name, values, record_file)


def _correct(
    table: str, name: str, new_name: str | None, values: dict[str, Any], record_file: Path | None
) -> None:
    from diagram.records.changes import Writer
    from diagram.records.people import corrected

    said = {
        key: value.isoformat() if isinstance(value, date) else value
        for key, value in {**values, "name": new_name}.items()
        if value is not None
    }
    if not said:
        raise click.UsageError("say what is to be changed")
    with opened(record_file) as record, record.writing():
        corrected(Writer(record, "correct"), table, name, **said)
    click.echo(f"corrected {name}")


@correct.command("round")
@click.argument("number", type=int)
@click.option("--height", metavar="LENGTH")
@click.option("--whole/--part", "whole", default=None, help="Whether it was ridden to the end.")
@click.option("--note")
@click.option("--remove", is_flag=True, help="It was never ridden: take it out.")
@record_option
def correct_round(
    number: int, height: str | None, whole: bool | None, note: str | None, remove: bool,
    record_file: Path | None,
) -> None:  # fmt: skip
    """Change a round; its NUMBER is in record list rounds."""
    from diagram.records.corrections import change_round, remove_round

    with opened(record_file) as record:
        if remove:
            remove_round(record, number)
        else:
            height_mm = millimetres("--height", height) if height else None
            change_round(record, number, height_mm=height_mm, complete=whole, note=note)
    click.echo(f"corrected round {number}")


@correct.command("mark")
@click.argument("number", type=int)
@click.argument("place")
@click.argument("keys")
@click.option("--strides", type=click.IntRange(0, 99))
@click.option("--out", type=click.IntRange(0, 99), help="Strides out of a transition.")
@click.option("--seconds", type=float)
@click.option("--lead", type=click.Choice(["left", "right"]))
@record_option
def correct_mark(
    number: int, place: str, keys: str, strides: int | None, out: int | None,
    seconds: float | None, lead: str | None, record_file: Path | None,
) -> None:  # fmt: skip
    """Change what was seen at PLACE in round NUMBER: KEYS as typed (a, wr, nh, xb), - not seen."""
    from diagram.records.corrections import change_mark

    with opened(record_file) as record:
        change_mark(
            record, number, place, keys, strides=strides, out=out, seconds=seconds, lead=lead
        )  # fmt: skip
    click.echo(f"corrected {place} in round {number}")
