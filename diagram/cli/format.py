"""``tapeline format``: files of exercises put in order, their comments kept."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from diagram.cli.common import (
    CLEAN,
    REJECTED,
    STOPPED,
    exercise_files,
    files_argument,
    show,
    writing,
)


@click.command("format")
@files_argument
@click.option("--check", is_flag=True, help="Write nothing; exit code 1 where there is work.")
def command(files: tuple[Path, ...], check: bool) -> None:
    """Put files in order: keys as the format has them, clean lines, every comment kept."""
    from diagram.diagnostics import RejectedError
    from diagram.source import read
    from diagram.writers.files import write_bytes
    from diagram.writing.tidy import NotTidiedError, tidied

    code = CLEAN
    for file in exercise_files(files):
        try:
            read(file)
            old = file.read_bytes()
            new = tidied(old.decode("utf-8-sig")).encode()
        except RejectedError as problem:
            show(problem.diagnostics, problem.sources)
            code = REJECTED
            continue
        except NotTidiedError as problem:
            click.echo(f"{file}: left as it is, {problem}", err=True)
            code = REJECTED
            continue
        if new == old:
            continue
        if check:
            click.echo(f"{file}: not in order")
            code = max(code, STOPPED)
            continue
        with writing(file):
            write_bytes(file, new)
        click.echo(f"{file}: put in order")
    sys.exit(code)
