"""``python -m diagram.cli`` is ``tapeline``."""

from diagram.cli import run

run()
