"""A group of commands, each imported only when it is asked for."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any, ClassVar

import click


class LazyGroup(click.Group):
    """Commands by name; `modules` says in which module each one's ``command`` is."""

    modules: ClassVar[Mapping[str, str]] = {}

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return sorted(self.modules)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:  # noqa: ARG002
        if name not in self.modules:
            return None
        module: Any = importlib.import_module(self.modules[name])
        command: click.Command = module.command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as problem:
            from diagram.diagnostics import near

            message = f"{problem.message} {near(args[0], self.modules)}"
            raise click.UsageError(message, ctx) from None
