"""Groups of horses that the exercises of a yard share, by name in `horses.yaml`."""

from __future__ import annotations

from diagram.exercise.beside import beside
from diagram.model.definition import HorsesWritten
from diagram.model.reading import validate
from diagram.source import Document, Mapping, read

HORSES_FILE = "horses.yaml"


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
