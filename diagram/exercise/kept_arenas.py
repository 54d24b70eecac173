"""The rings that a library keeps in `arenas.yaml`, by name."""

from __future__ import annotations

from functools import lru_cache

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.exercise.beside import beside
from diagram.model.definition import ArenaWritten
from diagram.model.fields import read_size
from diagram.model.reading import validate
from diagram.model.yard_file import ONE_TOO_MANY, yard_text
from diagram.source import Document, Mapping, Node, Scalar, content_of
from diagram.units import UnitError

ARENAS_FILE = "arenas.yaml"


def own_arenas(document: Document) -> tuple[Document, dict[str, ArenaWritten]] | None:
    """The arenas of the library that the file lies in, if it keeps any."""
    file = beside(document, ARENAS_FILE)
    if file is None:
        return None
    return _arenas_in(str(file), content_of(file))


@lru_cache(maxsize=4)
def _arenas_in(name: str, text: str) -> tuple[Document, dict[str, ArenaWritten]]:
    """What a library keeps: all its exercises ask for the same."""
    own = yard_text(text, name, ARENAS_FILE)
    assert isinstance(own.root, Mapping)
    for key, value in own.root.entries:
        if not isinstance(value, Mapping):
            hint = _ring_meant(key.text, value)
            message = "a ring has a name, and behind it its size in braces"
            raise _refused(own, key, message, hint)
        if key.text == "arenas" and all(isinstance(ring, Mapping) for _, ring in value.entries):
            hint = ONE_TOO_MANY
            raise _refused(own, key, "the rings stand by themselves", hint)
    return own, {key.text: validate(own, ArenaWritten, (key.text,)) for key, _ in own.root.entries}


def _ring_meant(key: str, value: Node) -> str:
    """A ring as it is written, of what is said for one."""
    said = value.text if isinstance(value, Scalar) else ""
    for name, size in ((key, said), (said, key)):
        try:
            read_size(size)
        except UnitError:
            continue
        return f"write `{name or 'my ring'}: {{size: {size}}}`"
    return f"write `{key}: {{size: 60 x 20 m}}`"


def _refused(own: Document, key: Scalar, message: str, hint: str) -> RejectedError:
    found = Diagnostic("arena", Severity.ERROR, message, key.span, hint)
    return RejectedError([found], {own.name: own.text})
