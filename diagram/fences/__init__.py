"""Kinds of fences. Every file in this folder that has a KIND is one, found in name order."""

from __future__ import annotations

from functools import cache

from diagram.fences.kind import Kind
from diagram.folder import offered


@cache
def kinds() -> dict[str, Kind]:
    """All kinds by name."""
    return {kind.name: kind for kind in offered(__name__, __path__, "KIND").values()}


@cache
def kind_names() -> dict[str, Kind]:
    """Kinds by every name a file may use."""
    return {name: kind for kind in kinds().values() for name in (kind.name, *kind.also)}
