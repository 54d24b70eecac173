"""The command line: one file for each command, found by name when it is called."""

from __future__ import annotations

import importlib
from typing import Any

import click

from diagram import __version__
from diagram.cli.streams import made_safe, told_plainly

COMMANDS = (
    "card", "check", "draw", "fit", "measure", "new", "observe", "readiness", "record", "schema",
    "set-out",
)  # fmt: skip


class _Lazy(click.Group):
    """Imports a command's file only when that command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:  # noqa: ARG002
        if name not in COMMANDS:
            return None
        module: Any = importlib.import_module(f"diagram.cli.{name.replace('-', '_')}")
        command: click.Command = module.command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        with told_plainly():
            return super().invoke(ctx)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as problem:
            from diagram.diagnostics import near

            message = f"{problem.message} {near(args[0], COMMANDS)}"
            raise click.UsageError(message, ctx) from None


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="tapeline")
def main() -> None:
    """Plan jumping exercises to scale, and print them as lesson cards.

    Exit codes: 0 clean, 1 findings that stop, 2 wrong use or a file that cannot be read.
    """


def run() -> None:
    """The program: `main` over outputs that can be written to."""
    made_safe()
    main(prog_name="tapeline")
