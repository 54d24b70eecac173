"""The yard's store as the crew counts it: by pieces, lengths in whole millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.layout import store
from diagram.source import Document


@dataclass(frozen=True)
class Store:
    """Pieces by kind; poles and planks by their length in millimetres. None: not listed."""

    file: str
    poles: dict[int, int] | None = None
    planks: dict[int, int] | None = None
    fillers: dict[str, int] | None = None
    standards: int | None = None
    gates: int | None = None
    walls: int | None = None
    cups: int | None = None
    safety_cups: int | None = None


def find_store(document: Document) -> Store | None:
    """The store of the yard that a file lies in, if it keeps a list.

    Raises RejectedError when the list cannot be read.
    """
    found = store.store_beside(document)
    return None if found is None else counted(found)


def read_store(document: Document) -> Store:
    """A store list. Raises RejectedError with all that is wrong in it."""
    return counted(store.read_store(document))


def counted(found: store.Store) -> Store:
    """A store by pieces; ground lines of their own are left out."""
    counts = found.counts
    return Store(
        found.name,
        _in_millimetres(found.poles),
        _in_millimetres(found.planks),
        found.fillers or None,
        counts.get("standards"),
        counts.get("gates"),
        counts.get("walls"),
        counts.get("cups"),
        counts.get("safety cups"),
    )


def _in_millimetres(lengths: dict[float, int] | None) -> dict[int, int] | None:
    if lengths is None:
        return None
    return {round(length * 1000): number for length, number in lengths.items()}
