"""Texts of a file for which there is no type: boxes would be printed in their place."""

from __future__ import annotations

from collections.abc import Iterator

from diagram.diagnostics import Diagnostic, Severity
from diagram.ownfont import named_font, settings_file
from diagram.source import Document, Mapping, Node, Scalar
from diagram.typeface import settable

MOST_SHOWN = 8
"""Characters of one text that are named."""


def unset_texts(document: Document) -> tuple[Diagnostic, ...]:
    """A caution for every text, and every name, with characters that cannot be set."""
    if document.text.isascii():
        return ()
    return tuple(
        Diagnostic(
            "cannot-be-set",
            Severity.CAUTION,
            f"there is no type for {' '.join(missing[:MOST_SHOWN])}: boxes are printed instead",
            scalar.span,
            named_font()[1]
            or "write it in Latin, Greek or Cyrillic letters, or name a font that has them: "
            f"font: in {settings_file()}",
        )
        for scalar in _scalars(document.root)
        if not scalar.text.isascii() and (missing := settable(scalar.text).missing)
    )


def _scalars(node: Node) -> Iterator[Scalar]:
    match node:
        case Scalar():
            yield node
        case Mapping(entries=entries):
            for key, value in entries:
                yield key
                yield from _scalars(value)
        case _:
            for item in node.items:
                yield from _scalars(item)
