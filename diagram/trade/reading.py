"""Turn the values of a document into figures, and say where one is wrong.

A reader gathers every problem of its document, so that a trainer who wrote an own table sees
all of them at once.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span, near
from diagram.source import Document, Mapping, Node, Scalar, Sequence
from diagram.trade.figures import Figure, Range, Room
from diagram.units import UnitError, parse_length

T = TypeVar("T")
W = TypeVar("W", bound=str)

Measure = Callable[[str], float]
"""Reads one text as a number in SI units; raises UnitError."""

MOST = 10_000.0


def number(text: str) -> float:
    """A plain count or share. Raises UnitError for anything else."""
    try:
        value = float(text)
    except ValueError:
        raise UnitError(f"{text!r} is not a number", "write it like 3") from None
    if not 0 <= value <= MOST:
        raise UnitError(f"{text!r} is not between 0 and {MOST:.0f}")
    return value


class Reader:
    """Reads one document. Each method gives a value, or a stand-in after noting a problem."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.problems: list[Diagnostic] = []

    def refuse(self, rule: str, message: str, span: Span, hint: str = "") -> None:
        """Note one problem."""
        self.problems.append(Diagnostic(rule, Severity.ERROR, message, span, hint))

    def finish(self) -> None:
        """Raise RejectedError with all problems, if there were any."""
        if self.problems:
            raise RejectedError(self.problems, {self.document.name: self.document.text})

    def entries(self, node: Node | None, what: str) -> tuple[tuple[Scalar, Node], ...]:
        """Keys and values of a mapping whose keys are free."""
        if isinstance(node, Mapping):
            return node.entries
        span = node.span if node else self.document.root.span
        self.refuse("not-keys", f"{what} is written as keys and values", span)
        return ()

    def fields(
        self, node: Node | None, what: str, known: tuple[str, ...], needed: tuple[str, ...] = ()
    ) -> dict[str, Node]:
        """Values of a mapping whose keys are `known`; all of `needed` must be there."""
        found: dict[str, Node] = {}
        for key, value in self.entries(node, what):
            if key.text in known:
                found[key.text] = value
            else:
                message = f'{what} has no "{key.text}"'
                self.refuse("unknown-key", message, key.span, near(key.text, known))
        if isinstance(node, Mapping):
            for name in needed:
                if name not in found:
                    span = first_line(node.span)
                    self.refuse("missing-key", f'{what} lacks "{name}"', span)
        return found

    def items(self, node: Node) -> tuple[Node, ...]:
        """The items of a list; a single value counts as a list of one."""
        return node.items if isinstance(node, Sequence) else (node,)

    def text(self, node: Node | None, default: str = "") -> str:
        """A single text."""
        if node is None:
            return default
        if isinstance(node, Scalar):
            return node.text
        self.refuse("not-a-text", "one word or sentence is wanted here", first_line(node.span))
        return default

    def word(self, node: Node, what: str, known: tuple[W, ...]) -> W | None:
        """One of the `known` words."""
        text = self.text(node)
        for word in known:
            if word == text:
                return word
        if isinstance(node, Scalar):
            self.refuse("unknown-word", f'"{text}" is no {what}', node.span, near(text, known))
        return None

    def measure(self, node: Node, read: Callable[[str], T], instead: T) -> T:
        """What `read` makes of a text, or `instead`."""
        if not isinstance(node, Scalar):
            self.refuse("not-a-measure", "one measure is wanted here", first_line(node.span))
            return instead
        try:
            return read(node.text)
        except UnitError as problem:
            self.refuse("not-a-measure", problem.message, node.span, problem.hint)
            return instead

    def figure(self, node: Node | None, what: str, read: Measure = parse_length) -> Figure:
        """A figure written as ``value``, ``source`` and perhaps ``note``."""
        found = self.fields(node, what, ("value", "source", "note"), ("value", "source"))
        if "value" not in found:
            return Figure(0.0, "")
        value = self.measure(found["value"], read, 0.0)
        return Figure(value, self.text(found.get("source")), self.text(found.get("note")))

    def range(self, node: Node | None, what: str, read: Measure = parse_length) -> Range:
        """A figure written as ``low``, ``typical``, ``high``, ``source`` and perhaps ``note``.

        Where ``high`` is left out there is no more to it than ``typical``.
        """
        known = ("low", "typical", "high", "source", "note")
        found = self.fields(node, what, known, ("low", "typical", "source"))
        low = self.measure(found["low"], read, 0.0) if "low" in found else 0.0
        typical = self.measure(found["typical"], read, low) if "typical" in found else low
        high = self.measure(found["high"], read, typical) if "high" in found else typical
        if not low <= typical <= high and node is not None:
            span = first_line(node.span)
            self.refuse("out-of-order", f"{what} runs from low over typical to high", span)
        source, note = self.text(found.get("source")), self.text(found.get("note"))
        return Range(low, typical, high, source, note)

    def room(self, node: Node | None, what: str, read: Measure = parse_length) -> Room:
        """Two figures, written as ``least`` and ``wanted``."""
        found = self.fields(node, what, ("least", "wanted"), ("least", "wanted"))
        least = self.figure(found.get("least"), f"{what}, least", read)
        wanted = self.figure(found.get("wanted"), f"{what}, wanted", read)
        return Room(least, wanted)


def first_line(span: Span) -> Span:
    """The beginning of a value that may run over many lines."""
    if span.line == span.end_line:
        return span
    return Span(span.file, span.line, span.column, span.line, span.column + 1)
