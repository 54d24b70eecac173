"""Files that a yard keeps beside its exercises: read, or told with what such a file begins with."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span
from diagram.source import COLON, Document, Mapping, content_of, read_text

STARTS = {
    "arenas.yaml": "write a ring to a line, without dashes: `my ring: {size: 60 x 20 m}`",
    "store.yaml": "write a thing to a line, without dashes: `standards: 16`",
    "library.yaml": "begin with the line `tapeline library: 1`",
}
"""How each of them begins."""
ONE_TOO_MANY = "leave this line out, and begin those below it at the left edge"


def read_yard_file(path: Path | str) -> Document:
    """One of these files. Raises RejectedError and OSError."""
    return yard_text(content_of(path), str(path), Path(path).name)


def yard_text(text: str, name: str, kind: str) -> Document:
    """The text of the file `name`, which is one like `kind`. Raises RejectedError."""
    try:
        document = read_text(text, name)
    except RejectedError as failure:
        told = [_told(problem, text, kind) for problem in failure.diagnostics]
        raise RejectedError(told, failure.sources) from None
    if not isinstance(document.root, Mapping):
        message = "a block of `key: value` lines is wanted here"
        if colon := _no_colon(text, document.root.span, kind):
            raise RejectedError([colon], {name: text})
        found = Diagnostic("wrong-shape", Severity.ERROR, message, document.root.span, STARTS[kind])
        raise RejectedError([found], {name: text})
    return document


def _told(problem: Diagnostic, text: str, kind: str) -> Diagnostic:
    if problem.rule == "empty-file":
        return replace(problem, hint=STARTS[kind])
    if problem.message == COLON and problem.span:
        return _no_colon(text, problem.span, kind) or problem
    return problem


def _no_colon(text: str, span: Span, kind: str) -> Diagnostic | None:
    """The first line up to `span` that has no colon, if one has none: a later one is taken for the
    end of its text."""
    for number, line in enumerate(text.splitlines()[: span.end_line], 1):
        said = line.split(" #")[0].strip()
        if not said or said.startswith(("#", "-")) or ":" in said:
            continue
        words = said.rsplit(" ", 1)
        value = len(words) == 2 and (words[1].isdigit() or len(words[1]) == 1)
        cure = f"{words[0]}: {words[1]}" if value else f"{said}:"
        if value and words[0] in ("poles", "planks"):
            cure = f"{words[0]}: {{12': {words[1]}}}"
        column = len(line) - len(line.lstrip()) + 1
        at = Span(span.file, number, column, number, column + len(said))
        message, hint = "a colon is missing here", f"write `{cure}`"
        if said.lower() == kind.split(".")[0]:
            message, hint = "this line says what the file is already called", ONE_TOO_MANY
        return Diagnostic("not-yaml", Severity.ERROR, message, at, hint)
    return None
