"""What is wrong, where, and what to write instead: as values, text, colour and JSON.

Nothing is printed where it is found. Errors are gathered, sorted and shown by one renderer.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field

if TYPE_CHECKING:
    from rich.text import Text


class Severity(StrEnum):
    """How much it matters, worst first.

    `error`: the file cannot be read as meant. `stop`: do not ride this as it stands.
    `caution`: ride it knowing. `note`: worth a look.
    """

    ERROR = "error"
    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Severity).index(self)


class Span(Struct, frozen=True):
    """A stretch of one file. Lines and columns count from 1; the end column is exclusive."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    def within(self, start: int, length: int) -> Span:
        """The part of a one-line span that begins `start` characters in."""
        if self.line != self.end_line:
            return self
        begin = self.column + start
        return Span(self.file, self.line, begin, self.line, begin + max(length, 1))


class Diagnostic(Struct, frozen=True):
    """One thing that is wrong, or worth knowing.

    `rule` names the bad thing; `hint` says what to write or do instead; `related` points at
    other lines that take part. `facts` carries figures for machines to read.
    """

    rule: str
    severity: Severity
    message: str
    span: Span | None = None
    hint: str = ""
    related: tuple[tuple[Span, str], ...] = ()
    facts: tuple[tuple[str, Any], ...] = field(default=())

    def order(self) -> tuple[str, int, int, int, str, str, str]:
        """Sort key: by file, line and column, then the worst first."""
        place = (self.span.file, self.span.line, self.span.column) if self.span else ("", 0, 0)
        return (*place, self.severity.rank, self.rule, self.message, self.hint)

    def to_json(self) -> dict[str, Any]:
        """A plain mapping for ``--json``."""
        out: dict[str, Any] = {
            "rule": self.rule,
            "severity": str(self.severity),
            "message": self.message,
            "hint": self.hint,
        }
        if self.span:
            out |= {"file": self.span.file, "line": self.span.line, "column": self.span.column}
        if self.related:
            out["related"] = [
                {"file": span.file, "line": span.line, "column": span.column, "message": text}
                for span, text in self.related
            ]
        return out | dict(self.facts)


class RejectedError(Exception):
    """The input cannot be used. Carries every diagnostic that was gathered."""

    def __init__(self, diagnostics: Sequence[Diagnostic], sources: dict[str, str]) -> None:
        self.diagnostics = tuple(sorted(set(diagnostics), key=Diagnostic.order))
        self.sources = sources
        super().__init__()

    def __str__(self) -> str:
        return render(self.diagnostics, self.sources)


def near(word: str, known: Iterable[str], alike: float = 0.6) -> str:
    """``did you mean "x"?`` for the closest of `known`, else the whole list, else nothing.

    `alike` is the least share, from 0 to 1, that `word` has with what it is taken for.
    """
    names = sorted(set(known))
    close = difflib.get_close_matches(word, names, n=2, cutoff=alike)
    if close:
        return "did you mean " + " or ".join(f'"{name}"' for name in close) + "?"
    if not names:
        return ""
    return "known here: " + ", ".join(names)


MEANING = {
    Severity.ERROR: "cannot be read as meant",
    Severity.STOP: "do not ride this as it stands",
    Severity.CAUTION: "ride it knowing",
    Severity.NOTE: "worth a look",
}
"""What each severity asks of the reader."""


def heading(severity: Severity, count: int) -> str:
    """Over the findings of one severity: ``2 CAUTIONS: ride it knowing``."""
    noun = str(severity).upper() + ("S" if count != 1 else "")
    return f"{count} {noun}: {MEANING[severity]}"


MOST_SHOWN = 50
"""A page or two of them is read; thousands come from one slip and are counted."""


def shown(diagnostics: Iterable[Diagnostic]) -> tuple[list[Diagnostic], str]:
    """The first `MOST_SHOWN`, and a sentence that counts the others ("" where there are none)."""
    found = list(diagnostics)
    more = len(found) - MOST_SHOWN
    return found[:MOST_SHOWN], f"and {more} more" if more > 0 else ""


def render(diagnostics: Iterable[Diagnostic], sources: dict[str, str]) -> str:
    """Diagnostics as text: position, rule, message, the line, carets, hint; the rest counted."""
    some, more = shown(diagnostics)
    return "\n\n".join([*(_block(d, sources) for d in some), *([more] if more else [])])


def render_sources(diagnostics: Iterable[Diagnostic]) -> str:
    """Where the limits of findings come from, each rule once: a list for the end of a page."""
    rows = sorted(
        {(d.rule, dict(d.facts)["source"]) for d in diagnostics if "source" in dict(d.facts)}
    )
    if not rows:
        return ""
    return "\n".join(
        ["Where the limits come from:", *(f"  {rule}: {source}" for rule, source in rows)]
    )


def _block(diagnostic: Diagnostic, sources: dict[str, str]) -> str:
    return "\n".join(text for text, _ in _parts(diagnostic, sources))


def render_heading(severity: Severity, count: int) -> Text:
    """`heading` with colour for a terminal."""
    from rich.text import Text

    return Text(heading(severity, count), style=f"{_STYLES[str(severity)]} reverse")


def render_rich(diagnostic: Diagnostic, sources: dict[str, str]) -> Text:
    """The same text as `render`, with colour for a terminal."""
    from rich.text import Text

    out = Text()
    for index, (text, kind) in enumerate(_parts(diagnostic, sources)):
        out.append("\n" if index else "")
        out.append(text, style=_STYLES.get(kind, ""))
    return out


_STYLES = {
    "error": "bold red", "stop": "bold red", "caution": "bold yellow", "note": "bold cyan",
    "caret": "bold", "source": "dim", "hint": "green",
}  # fmt: skip


def _parts(diagnostic: Diagnostic, sources: dict[str, str]) -> Iterable[tuple[str, str]]:
    span = diagnostic.span
    place = f"{span.file}:{span.line}:{span.column}: " if span else ""
    head = f"{place}{diagnostic.severity}[{diagnostic.rule}]: {diagnostic.message}"
    yield head, str(diagnostic.severity)
    if span:
        yield from _excerpt(span, sources)
    for other, text in diagnostic.related:
        yield f"  {other.file}:{other.line}:{other.column}: {text}", "caret"
        yield from _excerpt(other, sources)
    if diagnostic.hint:
        yield f"  hint: {diagnostic.hint}", "hint"
    facts = dict(diagnostic.facts)
    if facts.get("mark"):
        yield f"  on the drawing: {facts['mark']}", "source"


WIDEST = 100
"""Source lines are cut to this many characters around the place meant."""


@lru_cache(maxsize=8)
def _lines(text: str) -> tuple[str, ...]:
    """Lines of a file, taken apart once for all that is said of it."""
    return tuple(text.splitlines())


def _excerpt(span: Span, sources: dict[str, str]) -> Iterable[tuple[str, str]]:
    lines = _lines(sources.get(span.file, ""))
    if not 1 <= span.line <= len(lines):
        return
    line = lines[span.line - 1].replace("\t", " ")
    line = "".join(c if c.isprintable() else "�" for c in line)
    start = span.column - 1
    end = span.end_column - 1 if span.end_line == span.line else len(line)
    first = max(0, start - WIDEST // 2) if len(line) > WIDEST else 0
    shown = line[first : first + WIDEST]
    number = f"{span.line:>4} | "
    yield number + shown, "source"
    length = max(1, min(end - first, len(shown)) - (start - first))
    yield " " * (len(number) - 2) + "| " + " " * (start - first) + "^" * length, "caret"
