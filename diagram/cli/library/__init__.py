"""``tapeline library``: a folder of exercises, listed, searched, checked, built and shared."""

from __future__ import annotations

import click

from diagram.cli.lazy import LazyGroup

NAMES = (
    "build", "catalogue", "check", "list", "pack", "publish", "rings", "search", "show", "unpack",
)  # fmt: skip


class _Commands(LazyGroup):
    modules = {name: f"diagram.cli.library.{name}" for name in NAMES}  # noqa: RUF012


@click.group("library", cls=_Commands)
def command() -> None:
    """Keep, find, combine, print and share exercises: a folder of them is a library."""
