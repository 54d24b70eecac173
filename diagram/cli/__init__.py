"""The command line: one file for each command, found by name when it is called."""

from __future__ import annotations

import click

from diagram import __version__
from diagram.cli.lazy import LazyGroup

COMMANDS = ("card", "check", "draw", "fit", "library", "measure", "new", "schema", "set-out")


class _Commands(LazyGroup):
    modules = {name: f"diagram.cli.{name.replace('-', '_')}" for name in COMMANDS}  # noqa: RUF012


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="tapeline")
def main() -> None:
    """Plan jumping exercises to scale, and print them as lesson cards.

    Exit codes: 0 clean, 1 findings that stop, 2 wrong use or a file that cannot be read.
    """
