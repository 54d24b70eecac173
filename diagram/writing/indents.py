"""Lines put under each other as the examples have them: two blanks for each step inwards.

Only lines that begin an entry have a place of their own. What goes on from a line, a text over
several lines or a list in brackets, moves along with it, and a comment stands as the entry does
that it stands over.
"""

from __future__ import annotations

import re

from diagram.source import Mapping, Node, Sequence, read_text

STEP = 2


def reindented(text: str) -> str:
    """The text with every entry in its place. Raises RejectedError for what is no YAML."""
    root = read_text(text).root
    lines = text.split("\n")
    wanted = _Wanted(lines)
    wanted.place(root, 0)
    return "\n".join(_moved(lines, wanted.columns, wanted.closed))


class _Wanted:
    """The columns at which lines are to begin, by their number from 0, and by how many blanks
    after a dash they were `closed` up."""

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.columns: dict[int, int] = {}
        self.closed: dict[int, int] = {}

    def place(self, node: Node, column: int) -> None:
        if self._in_brackets(node):
            return
        if isinstance(node, Mapping):
            for key, value in node.entries:
                self._begins(key.span.line - 1, key.span.column - 1, column)
                if value.span.line > key.span.line or isinstance(value, Mapping | Sequence):
                    self.place(value, column + STEP)
        elif isinstance(node, Sequence):
            for item in node.items:
                self._dash(item, column)
                self.place(item, column + STEP)

    def _dash(self, item: Node, column: int) -> None:
        line = item.span.line - 1
        before = self.lines[line][: item.span.column - 1]
        if "-" in before:
            self._begins(line, before.index("-"), column)
            # One blank after the dash, so that what stands below it stands under it.
            head, tail = before.rstrip(), self.lines[line][item.span.column - 1 :]
            self.lines[line] = f"{head} {tail}"
            self.closed[line] = len(before) - len(head) - 1

    def _begins(self, line: int, at: int, column: int) -> None:
        if not self.lines[line][:at].strip():
            self.columns.setdefault(line, column)

    def _in_brackets(self, node: Node) -> bool:
        line = self.lines[node.span.line - 1]
        begin = line[node.span.column - 1 : node.span.column]
        return isinstance(node, Mapping | Sequence) and begin in ("[", "{")


def _moved(lines: list[str], columns: dict[int, int], closed: dict[int, int]) -> list[str]:
    out: list[str] = []
    by = 0
    for number, line in enumerate(lines):
        own = len(line) - len(line.lstrip(" "))
        if number in columns:
            by = columns[number] - own - closed.get(number, 0)
            out.append(" " * columns[number] + line[own:])
        elif not line.strip():
            out.append(line)
        elif line.lstrip().startswith("#"):
            out.append(" " * _comment(lines, columns, number, own, by) + line[own:])
        else:
            out.append(" " * max(own + by, 0) + line[own:])
    return out


def _comment(lines: list[str], columns: dict[int, int], number: int, own: int, by: int) -> int:
    """The column of a line of comment: that of the entry below it where both began alike."""
    for below in range(number + 1, len(lines)):
        if below in columns:
            began = len(lines[below]) - len(lines[below].lstrip(" "))
            return columns[below] if began == own else max(own + by, 0)
        if lines[below].strip() and not re.match(r"\s*#", lines[below]):
            break
    return max(own + by, 0)
