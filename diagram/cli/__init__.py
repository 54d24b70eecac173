"""The command line: one file for each command, found by name when it is called."""

from __future__ import annotations

import gc
from typing import Any

import click

from diagram import __version__
from diagram.cli.lazy import LazyGroup
from diagram.cli.streams import made_safe, told_plainly

COMMANDS = (
    "card", "check", "draw", "fit", "format", "lesson", "library", "measure", "new", "observe",
    "readiness", "record", "schema", "set-out",
)  # fmt: skip


class _Commands(LazyGroup):
    modules = {name: f"diagram.cli.{name.replace('-', '_')}" for name in COMMANDS}  # noqa: RUF012

    def invoke(self, ctx: click.Context) -> Any:
        with told_plainly():
            return super().invoke(ctx)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="tapeline")
def main() -> None:
    """Plan jumping exercises to scale, and print them as lesson cards.

    Exit codes: 0 clean, 1 findings that stop, 2 wrong use or a file that cannot be read.
    """


def run() -> None:
    """The program: `main` over outputs that can be written to."""
    # Classes and schemas are made by the thousand at the start and stay: looking through them
    # for what could be let go of takes a twentieth of a short command.
    gc.set_threshold(50_000)
    made_safe()
    main(prog_name="tapeline")
