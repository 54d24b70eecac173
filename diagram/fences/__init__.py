"""Kinds of fences. Every file in this folder that has a KIND is one, found in name order."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from diagram.fences.kind import Kind


@cache
def kinds() -> dict[str, Kind]:
    """All kinds by name."""
    found: dict[str, Kind] = {}
    for module in sorted(pkgutil.iter_modules(__path__), key=lambda info: info.name):
        kind = getattr(importlib.import_module(f"{__name__}.{module.name}"), "KIND", None)
        if isinstance(kind, Kind):
            found[kind.name] = kind
    return found


@cache
def kind_names() -> dict[str, Kind]:
    """Kinds by every name a file may use."""
    return {name: kind for kind in kinds().values() for name in (kind.name, *kind.also)}
