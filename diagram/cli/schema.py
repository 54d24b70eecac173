"""``tapeline schema``: the JSON Schema of the definition file, for editors."""

from __future__ import annotations

import click


@click.command("schema")
def command() -> None:
    """Print the JSON Schema of an exercise file, for completion in an editor."""
    from diagram.model.schema import schema_text

    click.echo(schema_text(), nl=False)
