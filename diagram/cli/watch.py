"""Drawing again whenever the file is saved, on a page of this machine only."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagram.diagnostics import RejectedError
from diagram.plain import counted
from diagram.writing.changes import changes
from diagram.writing.live import Live, LivePage

if TYPE_CHECKING:
    from diagram.planning import Plan
    from diagram.units import Units

EVERY_S = 0.3


class Watched:
    """One file and what is shown of it."""

    def __init__(self, file: Path, paper: str, units: Units) -> None:
        self.file, self.paper, self.units = file, paper, units
        self.shown = LivePage(title=file.stem)
        self._last: Plan | None = None
        self._data: bytes | None = None

    def look(self) -> bool:
        """Draw again if the bytes of the file are others than before; whether they were."""
        from diagram.pipeline import drawing_bytes, plan

        try:
            data = self.file.read_bytes()
        except OSError as problem:
            data = b"\0" + str(problem).encode()
        if data == self._data:
            return False
        self._data = data
        try:
            made = plan(self.file)
            drawing = drawing_bytes(made, "svg", paper=self.paper, units=self.units)
        except RejectedError as problem:
            self.shown.put(said=str(problem))
            return True
        except ValueError as problem:
            self.shown.put(said=str(problem))
            return True
        told = changes(self._last, made, self.units) if self._last else ()
        self._last = made
        found = len(made.findings)
        said = f"{made.layout.outcome}; {counted(found, 'finding')}"
        self.shown.put(title=made.definition.title, drawing=drawing, said=said, changes=told)
        return True


def watch(file: Path, paper: str, units: Units, port: int = 0) -> None:
    """Show the drawing of a file until the program is interrupted."""
    watched = Watched(file, paper, units)
    watched.look()
    live = Live(watched.shown, port)
    click.echo(f"{live.address}\nOpen this on this machine. It ends with Ctrl-C.")
    try:
        while True:
            time.sleep(EVERY_S)
            if watched.look():
                click.echo(watched.shown.said)
                for text in watched.shown.changes:
                    click.echo(f"  {text}")
    except KeyboardInterrupt:
        pass
    finally:
        live.close()
