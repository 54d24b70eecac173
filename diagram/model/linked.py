"""Names that an exercise says of its own parts and that are not there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from diagram.diagnostics import Diagnostic, near
from diagram.model.definition import Definition
from diagram.source import Document, error


def misnamed(definition: Definition, document: Document) -> list[Diagnostic]:
    """Fences under `may be poles` and `may be left out` that are not there, things said twice,
    and an exercise that comes after or before itself."""
    own = Path(document.name).stem
    lists: dict[str, Sequence[str]] = {
        "teaches": definition.teaches,
        "suits": definition.suits,
        "comes after": definition.comes_after,
        "comes before": definition.comes_before,
        "may be poles": definition.may_be_poles,
        "may be left out": definition.may_be_left_out,
    }
    found: list[Diagnostic] = []
    for key, names in lists.items():
        found += _twice(key, names, document)
    for key in ("may be poles", "may be left out"):
        found += _no_fence(key, lists[key], definition, document)
    for key in ("comes after", "comes before"):
        found += [
            error(document, (key, n), "an exercise cannot come before itself", "name another")
            for n, stem in enumerate(lists[key])
            if stem == own
        ]
    return found


def _twice(key: str, names: Sequence[str], document: Document) -> Iterator[Diagnostic]:
    for n, name in enumerate(names):
        if name in names[:n]:
            yield error(document, (key, n), f'"{name}" is said twice', "keep one of them")


def _no_fence(
    key: str, names: Sequence[str], definition: Definition, document: Document
) -> Iterator[Diagnostic]:
    for n, name in enumerate(names):
        if name not in definition.fences:
            hint = near(name, definition.fences)
            yield error(document, (key, n), f'there is no fence "{name}"', hint)
