"""Turn the values of a document into figures, and say where one is wrong.

A reader gathers every problem of its document, so that a trainer who wrote an own table sees
all of them at once.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span, near
from diagram.source import Document, Mapping, Node, Scalar, Sequence
from diagram.units import UnitError

T = TypeVar("T")
W = TypeVar("W", bound=str)


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

    def entries(
        self, node: Node | None, what: str, hint: str = ""
    ) -> tuple[tuple[Scalar, Node], ...]:
        """Keys and values of a mapping whose keys are free; `hint` is what to write instead."""
        if isinstance(node, Mapping):
            return node.entries
        span = node.span if node else self.document.root.span
        self.refuse("not-keys", f"{what} is written as keys and values", span, hint)
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

    def items(self, node: Node | None) -> tuple[Node, ...]:
        """The items of a list; a single value counts as a list of one, and nothing has none."""
        if node is None:
            return ()
        return node.items if isinstance(node, Sequence) else (node,)

    def text(self, node: Node | None, default: str = "") -> str:
        """A single text."""
        if node is None:
            return default
        if isinstance(node, Scalar):
            return node.text
        self.refuse("not-a-text", "one word or sentence is wanted here", first_line(node.span))
        return default

    def word(self, node: Node | None, what: str, known: tuple[W, ...]) -> W | None:
        """One of the `known` words; None where nothing is said."""
        text = self.text(node)
        for word in known:
            if word == text:
                return word
        if isinstance(node, Scalar):
            self.refuse("unknown-word", f'"{text}" is no {what}', node.span, near(text, known))
        return None

    def measure(self, node: Node | None, read: Callable[[str], T], instead: T) -> T:
        """What `read` makes of a text, or `instead`, also where nothing is said."""
        if node is None:
            return instead
        if not isinstance(node, Scalar):
            self.refuse(
                "not-a-measure",
                "one measure is wanted here",
                first_line(node.span),
                "write one value, without brackets",
            )
            return instead
        try:
            return read(node.text)
        except UnitError as problem:
            self.refuse("not-a-measure", problem.message, node.span, problem.hint)
            return instead


def first_line(span: Span) -> Span:
    """The beginning of a value that may run over many lines."""
    if span.line == span.end_line:
        return span
    return Span(span.file, span.line, span.column, span.line, span.column + 1)
