"""What several exercises or rides come to, as one file that was named: the pages of one PDF."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from diagram.diagnostics import RejectedError
from diagram.folder import is_folder

if TYPE_CHECKING:
    from diagram.planning import Plan


def is_one_file(to: Path | None, ending: str, count: int) -> bool:
    """Whether `count` results are to go into the one file `to`, by its ending."""
    if to is None or count < 2 or is_folder(to):
        return False
    return to.suffix.lower() == f".{ending.rpartition('.')[2]}"


def write_together(
    found: Sequence[tuple[Path, Plan | RejectedError]],
    to: Path,
    write: Callable[[Plan, Path], None],
) -> str:
    """Write the PDFs of all plans as one, in their order, each with its title in the outline.

    All or nothing: a pack with an exercise missing would not be noticed at the ring. Why nothing
    was written: one cannot be read or set, or what is written has no pages to join; else "".
    Raises OSError.
    """
    from diagram.writers.files import write_bytes
    from diagram.writers.joined import joined

    if to.suffix.lower() != ".pdf":
        return f"{to}: {len(found)} files are to be written; name a folder"
    if to.is_symlink() or any(to.exists() and to.samefile(file) for file, _ in found):
        return f"not written, for {to} is a link or an exercise itself"
    parts: list[tuple[str, bytes]] = []
    with tempfile.TemporaryDirectory(prefix="tapeline-") as folder:
        for number, (file, plan) in enumerate(found):
            if isinstance(plan, RejectedError):
                return f"{to}: not written, for {file} cannot be read"
            part = Path(folder) / f"{number}.pdf"
            try:
                write(plan, part)
            except ValueError as problem:
                return f"{to}: not written, {file}: {problem}"
            parts.append((plan.title, part.read_bytes()))
    write_bytes(to, joined(parts, to.stem))
    return ""
