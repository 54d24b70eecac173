"""Whose a file in a folder of results is: only the same thing is written over."""

from __future__ import annotations

import os
from pathlib import Path

from msgspec import Struct

from diagram.library.content import digest_of
from diagram.library.record import ALONE, RECORD_FILE, Record


class Owned(Struct, frozen=True):
    """A file about to be written: what of which exercise it is to hold, whether it was named."""

    target: Path
    key: str
    named: bool

    @classmethod
    def of(cls, target: Path, file: Path, what: str, named: bool) -> Owned:
        """`file` is told from the folder of the target, so that both may move together."""
        beside = os.path.relpath(file.resolve(), target.parent.resolve())
        return cls(target, f"{what}{ALONE}{Path(beside).as_posix()}", named)

    def why_not(self) -> str:
        """Why it must not be written over; empty where it may, as where it was named."""
        if self.named:
            return ""
        record, name = Record(self.target.parent), self.target.name
        other = record.key_of(name)
        if self.target.exists() and other and other != self.key:
            whose = f"the {other}" if ALONE in other else "of a library that was built here"
            return f"for {self.target} is {whose}; name another file or folder with --to"
        if why := record.not_ours(name):
            return f"for {self.target} {why}; name another file with --to, or move that one away"
        return ""

    def note(self) -> None:
        """Keep whose it is. Where a file was named, only if such a record is kept there anyhow."""
        if self.named and not (self.target.parent / RECORD_FILE).is_file():
            return
        with Record(self.target.parent) as record:
            record.finish(self.target.name, self.key, digest_of(self.target))
