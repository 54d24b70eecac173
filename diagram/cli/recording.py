"""What the commands of the record share: which file, which day, which pairs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from diagram.cli.common import reading, writing

if TYPE_CHECKING:
    from diagram.records.file import RecordFile
    from diagram.records.step_file import Step

F = TypeVar("F", bound=Callable[..., Any])


def record_option(function: F) -> F:
    """``--record FILE``."""
    return click.option(
        "--record", "record_file", type=click.Path(path_type=Path), envvar="TAPELINE_RECORD",
        help="The file of the record, instead of the one in your data folder.",
    )(function)  # fmt: skip


def _date(value: str | date) -> date:
    """A date like 2026-03-28."""
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(value)
    except ValueError:
        message = f"{value!r} is no date; write it like 2026-03-28"
        raise click.BadParameter(message) from None


DAY = click.types.FuncParamType(_date)
DAY.name = "date"


@contextmanager
def opened(record_file: Path | None) -> Iterator[RecordFile]:
    """The record, open; problems are shown and end the program with code 2."""
    from diagram.records.file import RecordFile, usual_file

    with reading(), RecordFile(record_file or usual_file()) as record:
        yield record


def two_names(text: str) -> tuple[str, str]:
    """Rider and horse of ``Ida, Bramble``. Raises UsageError."""
    rider, comma, horse = text.partition(",")
    if not comma or not rider.strip() or not horse.strip():
        raise click.UsageError(f'{text!r} is no pair; write it like "Ida, Bramble"')
    return rider.strip(), horse.strip()


def say_what_cannot_be_set(names: Iterable[str]) -> None:
    """Tell of names with characters for which there is no type."""
    from diagram.typeface import settable

    for name in dict.fromkeys(names):
        if missing := settable(name).missing:
            click.echo(
                f'there is no type for {" ".join(missing)} in "{name}": pages have boxes instead; '
                "Latin, Greek and Cyrillic letters can be printed", err=True,
            )  # fmt: skip


def steps_at_hand(step_file: Path | None, library: Path | None = None) -> tuple[Step, ...]:
    """The step file or folder named; else all in ``steps/`` of this folder or of the library,
    else those that come with the program.
    """
    from diagram.records.step_file import SHIPPED, read_step, read_steps

    if step_file is not None and step_file.is_dir():
        return read_steps(step_file)
    if step_file is not None:
        return (read_step(step_file),)
    own = (Path("steps"), *([library / "steps"] if library else []))
    return read_steps(next((folder for folder in own if any(folder.glob("*.y*ml"))), SHIPPED))


def written(path: Path, data: bytes, *, private: bool = False) -> None:
    """Write a file and say its name; a private one is readable by its owner only."""
    from diagram.writers.files import write_bytes

    with writing(path):
        write_bytes(path, data)
        if private and path.is_file():
            path.chmod(0o600)
    click.echo(path)
