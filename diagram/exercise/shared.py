"""Files that the exercises of a folder share: found beside an exercise, or in the folder above."""

from __future__ import annotations

from pathlib import Path

from diagram.model.definition import HorsesWritten
from diagram.model.reading import validate
from diagram.source import Document, Mapping, read

HORSES_FILE = "horses.yaml"


def beside(document: Document, name: str) -> Path | None:
    """The file `name` that belongs to a document; None where there is none."""
    here = Path(document.name).parent
    return next((f for folder in (here, here.parent) if (f := folder / name).is_file()), None)


def horses_called(name: str, document: Document) -> tuple[HorsesWritten, Document] | None:
    """The group of horses of that name in `horses.yaml`, and the file it is from.

    None where no such file has the name. Raises RejectedError for a group with mistakes in it.
    """
    file = beside(document, HORSES_FILE)
    if file is None:
        return None
    shared = read(file)
    if not isinstance(shared.root, Mapping) or shared.root.get(name) is None:
        return None
    return validate(shared, HorsesWritten, (name,)), shared


def groups_of_horses(document: Document) -> tuple[str, ...]:
    """Names of the groups in `horses.yaml`. Raises RejectedError."""
    file = beside(document, HORSES_FILE)
    if file is None:
        return ()
    root = read(file).root
    return tuple(key.text for key, _ in root.entries) if isinstance(root, Mapping) else ()
