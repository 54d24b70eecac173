"""Files of a yard that stand beside an exercise, or in the folder above it."""

from __future__ import annotations

from pathlib import Path

from diagram.folder import is_file
from diagram.source import Document


def beside(document: Document, name: str) -> Path | None:
    """The file `name` that belongs to a document; None where there is none."""
    folder = Path(document.name).parent
    files = (folder / name, folder.parent / name)
    return next((file for file in files if is_file(file)), None)
