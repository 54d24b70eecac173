"""``python -m diagram.cli`` is ``tapeline``."""

from diagram.cli import main

main(prog_name="tapeline")
