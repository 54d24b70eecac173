"""The yard's store as the crew counts it: by pieces, lengths in whole millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.exercise import inventory as store


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
