"""Prints made while a library is read, so that a first build plans each exercise once.

They wait in a folder of their own, each under the key of what it was made from, until the build
takes them: what was printed before a run was stopped is there for the next one.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from diagram.library.building import FileTask, Prints, keys_of, tasks_of, waiting_file
from diagram.library.collection import ReadJob, read_rides
from diagram.units import Units
from diagram.writers.files import write_bytes

if TYPE_CHECKING:
    from diagram.library.entry import Entry

WAITING = ".tapeline-waiting"


class PrintAhead(Struct, frozen=True):
    """Reads an exercise and prints of it what `folder` does not have. Runs in a process of its
    own; what cannot be printed is left to the build, which says why."""

    folder: Path
    kinds: tuple[str, ...]
    paper: str
    units: Units

    @property
    def waiting(self) -> Path:
        """Where the prints wait: on the same disk as where they go."""
        return self.folder / WAITING

    def __call__(self, job: ReadJob) -> Entry | str:
        """The entry of one file, or the message that says why there is none."""
        try:
            # Before it is read: a file that changes meanwhile gets another key in the build.
            keys = keys_of(job.path, self.kinds, self.paper, self.units)
        except OSError:
            keys = {}
        read = read_rides(job)
        if isinstance(read, str):
            return read
        entry, rides = read
        prints = Prints(rides, self.paper, self.units)
        for task in tasks_of(entry, job.path, self.folder, keys):
            self._print(task, prints)
        return entry

    def _print(self, task: FileTask, prints: Prints) -> None:
        # Whether what stands there may be written over is for the record to say.
        if task.target.exists() or self.waiting.is_symlink():
            return
        try:
            write_bytes(waiting_file(self.waiting, task), prints.of(task.kind, task.ride))
        except Exception:
            return

    def forget(self) -> None:
        """Throw away what still waits."""
        if not self.waiting.is_symlink():
            shutil.rmtree(self.waiting, ignore_errors=True)
