"""YAML text to values that remember where they stand.

Built on ``yaml.compose`` nodes, not on loaded values: YAML's own typing turns ``1:50`` into
110 and ``no`` into False, and a loaded dictionary has forgotten its lines. Every scalar stays
the text that was written; the field it stands in decides its type.
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span

LARGEST_FILE = 512 * 1024
"""Bytes. A long course is 10 KB; a file over this is no exercise."""
DEEPEST = 12
MOST_NODES = 20_000
READ_TWICE = 64 * 1024
"""Characters up to which a broken file is read again by the parser that says best what is wrong."""
MOST_TEXT = 2 * LARGEST_FILE
"""Characters of all values, a block named with & counted again wherever * repeats it."""

_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Scalar(Struct, frozen=True):
    """A single text. `start` is the column offset of the text inside the span (quotes)."""

    text: str
    span: Span
    quoted: bool = False

    def part(self, start: int, length: int) -> Span:
        """The span of some characters of the text, where it was written on one line."""
        return self.span.within(start + (1 if self.quoted else 0), length)


class Sequence(Struct, frozen=True):
    """A list of values."""

    items: tuple[Node, ...]
    span: Span


class Mapping(Struct, frozen=True, dict=True):
    """Keys and values in the order written."""

    entries: tuple[tuple[Scalar, Node], ...]
    span: Span

    @cached_property
    def place(self) -> dict[str, int]:
        """The place of each key among the entries."""
        return {name.text: place for place, (name, _) in enumerate(self.entries)}

    def get(self, key: str) -> Node | None:
        """The value under `key`, or None."""
        return self.entries[self.place[key]][1] if key in self.place else None

    def key(self, key: str) -> Scalar | None:
        """The key itself, for its span."""
        return self.entries[self.place[key]][0] if key in self.place else None


Node = Scalar | Sequence | Mapping


class Document(Struct, frozen=True):
    """One file read: its name, its text and its values."""

    name: str
    text: str
    root: Node

    def plain(self) -> Any:
        """The values as dictionaries, lists and strings."""
        return plain(self.root)

    def node_at(self, path: tuple[str | int, ...]) -> tuple[Node, bool]:
        """The deepest node on `path`, and whether the whole path was found."""
        node = self.root
        for step in path:
            below: Node | None = None
            if isinstance(node, Mapping):
                below = node.get(str(step))
            elif isinstance(node, Sequence) and isinstance(step, int):
                below = node.items[step] if 0 <= step < len(node.items) else None
            if below is None:
                return node, False
            node = below
        return node, True

    def key_at(self, path: tuple[str | int, ...]) -> Scalar | None:
        """The key at the end of `path`, if there is one."""
        above, _ = self.node_at(path[:-1])
        return above.key(str(path[-1])) if path and isinstance(above, Mapping) else None

    def span_at(self, path: tuple[str | int, ...], key: bool = False) -> Span:
        """Where the value at `path` stands (or its key), or the nearest thing above it."""
        if key and (name := self.key_at(path)):
            return name.span
        return self.node_at(path)[0].span

    def span_of(self, path: tuple[str | int, ...], word: str) -> Span:
        """Where `word` stands in the text at `path`, or the whole text."""
        node, _ = self.node_at(path)
        if isinstance(node, Scalar) and word and word in node.text:
            return node.part(node.text.rindex(word), len(word))
        return node.span


def error(
    document: Document, path: tuple[str | int, ...], message: str, hint: str,
    rule: str = "not-understood", severity: Severity = Severity.ERROR,
) -> Diagnostic:  # fmt: skip
    """What is wrong at a place in a document."""
    return Diagnostic(rule, severity, message, document.span_at(path), hint)


def plain(node: Node) -> Any:
    """`node` as dictionaries, lists and strings."""
    match node:
        case Scalar(text=text):
            return text
        case Sequence(items=items):
            return [plain(item) for item in items]
        case Mapping(entries=entries):
            return {name.text: plain(value) for name, value in entries}


def read(path: Path | str) -> Document:
    """Read one file. Raises RejectedError for anything that is not sound YAML text."""
    return read_text(content_of(path), str(path))


def content_of(path: Path | str) -> str:
    """The text of one file. Raises RejectedError where it is none, or too much of it."""
    name = str(path)
    try:
        with Path(path).open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as problem:
        message = f"cannot read {name}: {_why(problem)}"
        raise _rejected(name, "", "unreadable-file", message) from None
    if len(data) > LARGEST_FILE:
        text = f"{name} is larger than {LARGEST_FILE // 1024} KB"
        raise _rejected(name, "", "file-too-large", text, "one file holds one exercise")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        readable = data.decode("utf-8-sig", errors="replace")
        before = data[: problem.start].decode("utf-8-sig", errors="replace")
        span = _character(name, before)
        message = "this character is not UTF-8 text"
        hint = "save the file as UTF-8"
        raise _rejected(name, readable, "not-text", message, hint, span) from None
    return text


def _character(name: str, before: str) -> Span:
    """The place of the character that follows the text `before`."""
    line = before.count("\n") + 1
    column = len(before) - before.rfind("\n")
    return Span(name, line, column, line, column + 1)


def _why(problem: OSError) -> str:
    return (problem.strerror or str(problem)).lower()


def read_text(text: str, name: str = "<text>") -> Document:
    """Read YAML `text`. Raises RejectedError with every problem found."""
    text = text.replace("\r\n", "\n")
    try:
        root = yaml.compose(text, Loader=_FAST)
    except yaml.YAMLError as problem:
        raise _syntax(text, name, "nesting depth" in str(problem)) from None
    except RecursionError:
        raise _rejected(name, text, "too-deep", f"nested deeper than {DEEPEST} levels") from None
    if root is None:
        message = "the file is empty"
        raise _rejected(name, text, "empty-file", message, "start from `tapeline new`")
    reader = _Reader(name, text)
    node = reader.convert(root, 0)
    if reader.problems or node is None:
        raise RejectedError(reader.problems, {name: text})
    return Document(name, text, node)


def _syntax(text: str, name: str, bottomless: bool) -> RejectedError:
    """Say what is wrong with the YAML itself, in the words of the same parser wherever it runs.

    That one reads some 100 KB a second: what is no exercise by its length the fast one tells. Of
    what is `bottomless`, over a thousand brackets deep, it takes seconds to say the same.
    """
    try:
        yaml.reader.Reader(text)  # counts in characters; the fast parser in bytes
        if bottomless:
            raise RecursionError
        yaml.compose(text, Loader=yaml.SafeLoader if len(text) <= READ_TWICE else _FAST)
    except yaml.reader.ReaderError as problem:
        message = f"character {ord(text[problem.position]):#x} cannot stand in a text file"
        span = _character(name, text[: problem.position])
        return _rejected(name, text, "not-text", message, "delete it", span)
    except yaml.MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        detail = " ".join(part for part in (problem.problem, problem.context) if part)
        begun = problem.context_mark
        later = bool(mark and begun and mark.line > begun.line)
        if "quoted scalar" in detail or (later and ("flow " in detail or "simple key" in detail)):
            # What was opened and not closed is found out only further down.
            mark = begun
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        message, hint = _syntax_words(detail or "the text is not YAML")
        span = Span(name, line, column, line, column + 1)
        return _rejected(name, text, "not-yaml", message, hint, span)
    except RecursionError:
        hint = "there are too many brackets, or lines indented too far"
        return _rejected(name, text, "too-deep", f"nested deeper than {DEEPEST} levels", hint)
    except (yaml.YAMLError, ValueError):
        pass
    return _rejected(name, text, "not-yaml", "the text is not YAML")


COLON = "a colon cannot stand in this text as it is"
QUOTED = "write a comma instead; a text that needs its colon has quotes round it"
LIST_BEHIND_KEY = "a list cannot begin behind its key"
NEEDS_QUOTES = "a text cannot begin with this mark as it is"
_SYNTAX = (
    (
        "sequence entries are not allowed",
        LIST_BEHIND_KEY,
        "write it on the next line, indented; or leave the dash out",
    ),
    (
        "while scanning an alias",
        "a star has a meaning of its own here",
        "write a dash for a list, `- ...`; a text that begins with a star has quotes round it",
    ),
    (
        "mapping values are not allowed",
        COLON,
        QUOTED,
    ),
    (
        r"'\t'",
        "a tab stands where only spaces may",
        "indent with spaces, not tabs",
    ),
    ("that cannot start any token", NEEDS_QUOTES, "put quotes round the whole"),
    (
        "escape character",
        "this means nothing after a backslash",
        'inside double quotes write \\" for an inch mark, or use single quotes',
    ),
    (
        "quoted scalar",
        "a quote is opened here and not closed",
        "close it; for inches write 12'6\" without quotes round it, or 12 ft 6 in",
    ),
    (
        "flow ",
        "a bracket is opened here and not closed, or a comma is missing in it",
        "look for the bracket that closes it",
    ),
    (
        "expected <block end>",
        "this line does not line up with those above it",
        "look at the indentation of this line and the one above",
    ),
    (
        "could not find expected ':'",
        "a colon is missing",
        "write key: value, with a space after the colon",
    ),
)
"""What the parser says, what it means, and what to do."""


def written(values: Any) -> str:
    """Plain values as the text of a file: the keys in their order, short lists on one line."""
    text: str = yaml.safe_dump(
        values, sort_keys=False, allow_unicode=True, width=100, default_flow_style=None
    )
    return text


def _syntax_words(detail: str) -> tuple[str, str]:
    return next(((said, hint) for sign, said, hint in _SYNTAX if sign in detail), (detail, ""))


def _rejected(
    name: str, text: str, rule: str, message: str, hint: str = "", span: Span | None = None
) -> RejectedError:
    place = span or Span(name, 1, 1, 1, 2)
    return RejectedError([Diagnostic(rule, Severity.ERROR, message, place, hint)], {name: text})


class _Reader:
    """Turns one tree of YAML nodes into ours, gathering what is not allowed."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.lines = text.splitlines()
        self.problems: list[Diagnostic] = []
        self.count = 0
        self.length = 0

    def span(self, node: yaml.Node) -> Span:
        start, end = node.start_mark, node.end_mark
        return Span(self.name, start.line + 1, start.column + 1, end.line + 1, end.column + 1)

    def refuse(self, rule: str, message: str, node: yaml.Node, hint: str = "") -> None:
        self.problems.append(Diagnostic(rule, Severity.ERROR, message, self.span(node), hint))

    def convert(self, node: yaml.Node, depth: int) -> Node | None:
        self.count += 1
        if self.count > MOST_NODES:
            # An alias bomb multiplies nodes; one message is enough.
            if self.count == MOST_NODES + 1:
                message = f"more than {MOST_NODES} values"
                hint = "names with & and * repeat a block each time; write out what is meant"
                self.refuse("too-many-values", message, node, hint)
            return None
        if depth > DEEPEST:
            hint = "there are too many brackets, or lines indented too far"
            self.refuse("too-deep", f"nested deeper than {DEEPEST} levels", node, hint)
            return None
        if not node.tag.startswith("tag:yaml.org,2002:") or self._tagged(node):
            self.refuse("yaml-tag", "tags are not used here", node, "delete the word with !")
            return None
        if isinstance(node, yaml.ScalarNode):
            self.length += len(node.value)
            if self.length > MOST_TEXT:
                self.count = MOST_NODES + 1
                message = f"more than {MOST_TEXT // 1024} KB of text"
                hint = "names with & and * repeat a block each time; write out what is meant"
                self.refuse("too-many-values", message, node, hint)
                return None
            return Scalar(node.value, self.span(node), node.style in ("'", '"'))
        if isinstance(node, yaml.SequenceNode):
            items = [self.convert(item, depth + 1) for item in node.value]
            return Sequence(tuple(i for i in items if i is not None), self.span(node))
        return self._mapping(node, depth)

    def _tagged(self, node: yaml.Node) -> bool:
        mark = node.start_mark
        return mark.line < len(self.lines) and self.lines[mark.line].startswith("!", mark.column)

    def _mapping(self, node: yaml.Node, depth: int) -> Mapping:
        entries: dict[str, tuple[Scalar, Node]] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self.refuse("key-not-text", "a key must be a plain word", key_node)
                continue
            key = Scalar(key_node.value, self.span(key_node))
            if key.text in entries:
                first = entries[key.text][0].span.line
                message = f'"{key.text}" is written twice, first on line {first}'
                self.refuse("key-twice", message, key_node, "keep one of them")
                continue
            value = self.convert(value_node, depth + 1)
            if value is not None:
                entries[key.text] = (key, value)
        return Mapping(tuple(entries.values()), self.span(node))
