"""The file of measured tapes: one line for each, from where to where and how long.

CSV as a spreadsheet writes it, with a first line ``from,to,metres`` (or ``from,to,feet``) and,
where one likes, a fourth column ``error`` with the standard error of that tape. A length may
carry its own unit (``61'4"``, ``18.7 m``). Semicolons or tabs between, and commas for decimal
points, are understood when the first line has them. Lines left blank after ``to`` were not taped.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

from msgspec import Struct

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span
from diagram.planning import Plan
from diagram.survey.marks import marks_of
from diagram.survey.measured_meant import HEAD, head_meant, line_meant, number_meant, point_meant
from diagram.survey.network import Tape
from diagram.units import FOOT, UnitError, length_text, parse_length

UNITS = {"metres": 1.0, "meters": 1.0, "m": 1.0, "feet": FOOT, "ft": FOOT}
LARGEST_FILE = 256 * 1024
MOST_TAPES = 1000

SLACK_M = 2.0
"""Metres by which a tape may be longer than the arena is from corner to corner."""


class Measured(Struct, frozen=True):
    """The tapes of a file, and the number of lines that were left blank.

    `lines` are the numbers of the lines of `tapes`; `error_m` is the standard error of those
    that have none of their own.
    """

    name: str
    tapes: tuple[Tape, ...]
    lines: tuple[int, ...]
    blank: int
    error_m: float


class _Cell(Struct, frozen=True):
    text: str
    column: int


def read_measured(path: Path | str, plan: Plan, error_m: float) -> Measured:
    """The tapes of a file. Raises RejectedError with everything that is wrong in it.

    `error_m` is the standard error of a tape that has none of its own, in metres.
    """
    name = str(path)
    try:
        with Path(path).open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as problem:
        why = (problem.strerror or str(problem)).lower()
        raise _unreadable(name, f"cannot read {name}: {why}") from None
    if len(data) > LARGEST_FILE:
        raise _unreadable(name, f"{name} is larger than {LARGEST_FILE // 1024} KB")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        hint = "save it as CSV, UTF-8"
        raise _unreadable(name, f"{name} is no UTF-8 text", hint) from None
    return read_measured_text(text, name, plan, error_m)


def read_measured_text(text: str, name: str, plan: Plan, error_m: float) -> Measured:
    """The same from a text. Raises RejectedError."""
    reader = _Reader(text, name, plan, error_m)
    reader.read()
    if reader.problems:
        raise RejectedError(reader.problems, {name: text})
    return Measured(name, tuple(reader.tapes), tuple(reader.lines), reader.blank, error_m)


def _unreadable(name: str, message: str, hint: str = "") -> RejectedError:
    span = Span(name, 1, 1, 1, 1)
    return RejectedError([Diagnostic("tapes", Severity.ERROR, message, span, hint)], {name: ""})


class _Reader:
    """Walks the lines once and gathers tapes and problems."""

    def __init__(self, text: str, name: str, plan: Plan, error_m: float) -> None:
        self.name = name
        self.rows = text.splitlines()
        self.marks = marks_of(plan)
        self.points = self.marks.all
        self.by_plain = {_plain(point): point for point in self.points}
        self.fences = {fence.name for fence in plan.fences}
        self.longest = math.dist((0, 0), plan.arena.size) + SLACK_M
        self.error_m = error_m
        self.separator, self.unit, self.columns = ",", 1.0, 3
        self.tapes: list[Tape] = []
        self.lines: list[int] = []
        self.blank = 0
        self.problems: list[Diagnostic] = []
        self.seen: dict[frozenset[str], int] = {}

    def refuse(self, line: int, cell: _Cell, message: str, hint: str = "") -> None:
        end = cell.column + max(len(cell.text), 1)
        span = Span(self.name, line, cell.column, line, end)
        self.problems.append(Diagnostic("tapes", Severity.ERROR, message, span, hint))

    def read(self) -> None:
        numbered = [
            (n, row) for n, row in enumerate(self.rows, 1) if row.strip() and row.lstrip()[0] != "#"
        ]
        if not numbered:
            self.refuse(1, _Cell("", 1), "there are no tapes in this file", HEAD)
            return
        if len(numbered) > MOST_TAPES:
            message = f"more than {MOST_TAPES} tapes"
            self.refuse(numbered[MOST_TAPES][0], _Cell("", 1), message)
            return
        if not self._head(*numbered[0]):
            return
        for number, row in numbered[1:]:
            self._tape(number, _cells(row, self.separator))
        if not self.tapes and not self.problems:
            at = numbered[-1][0]
            self.refuse(at, _Cell("", 1), "no tape has a length", "write one behind each comma")

    def _head(self, line: int, row: str) -> bool:
        self.separator = next((mark for mark in ";\t" if mark in row), ",")
        cells = _cells(row, self.separator)
        words = [cell.text.strip().casefold() for cell in cells]
        while len(words) > 3 and not words[-1]:
            words.pop()
        if words[:2] != ["from", "to"] or len(words) < 3 or words[2] not in UNITS:
            whole = _Cell(row.strip(), 1)
            self.refuse(
                line,
                whole,
                "the first line does not say what stands below it",
                head_meant(row, self.points),
            )
            return False
        if words[3:] not in ([], ["error"]):
            self.refuse(
                line,
                cells[3],
                f'"{words[3]}" is no column of this file',
                'a fourth column is "error", the standard error of a tape',
            )
            return False
        self.unit, self.columns = UNITS[words[2]], len(words)
        return True

    def _tape(self, line: int, cells: list[_Cell]) -> None:
        while len(cells) > self.columns and not cells[-1].text.strip():
            cells.pop()
        if len(cells) > self.columns:
            both = (cells[self.columns - 1].text.strip(), cells[self.columns].text.strip())
            hint = "a length has a point, not a comma: write " + (
                ".".join(both) if all(part.isdigit() for part in both) else "18.7"
            )
            self.refuse(line, cells[self.columns], "more columns than the first line has", hint)
            return
        if cure := line_meant([cell.text.strip() for cell in cells], self.points):
            whole = _Cell(self.rows[line - 1].strip(), 1)
            self.refuse(line, whole, "a line is a point, a point and a length", cure)
            return
        if len(cells) < 2:
            self.refuse(line, cells[0], "a tape runs from one point to another", HEAD)
            return
        ends = [self._point(line, cell) for cell in cells[:2]]
        if len(cells) < 3 or not cells[2].text.strip():
            self.blank += 1
            return
        metres = self._length(line, cells[2], self.longest)
        error = self.error_m
        if len(cells) > 3 and cells[3].text.strip():
            error = self._length(line, cells[3], self.longest) or self.error_m
        first, second = ends
        if first is None or second is None or metres is None:
            return
        if first == second:
            self.refuse(line, cells[1], f"this tape runs from {first} to itself")
            return
        pair = frozenset((first, second))
        if pair in self.seen:
            message = f"{first} to {second} stands in line {self.seen[pair]} already"
            self.refuse(line, cells[0], message, "keep the one that was taped with more care")
            return
        self.seen[pair] = line
        feet = _in_feet(cells[2].text, self.unit)
        self.tapes.append(Tape(first, second, metres, error, feet))
        self.lines.append(line)

    def _point(self, line: int, cell: _Cell) -> str | None:
        text = cell.text.strip()
        found = self.by_plain.get(_plain(text))
        if found is None:
            message = f'"{text}" is no point here' if text else "a point is missing here"
            self.refuse(line, cell, message, self._meant(text))
        return found

    def _meant(self, text: str) -> str:
        """Near misses; of a fence all its points, since a tape needs one of them."""
        for fence in sorted(self.fences, key=len, reverse=True):
            if _plain(text).startswith(_plain(fence)):
                own = [point for point in self.points if self.marks.fence.get(point) == fence]
                only = _plain(text) == _plain(fence)
                return "write one of " + ", ".join(own) if only else point_meant(text, own)
        return point_meant(text, self.points)

    def _length(self, line: int, cell: _Cell, longest: float) -> float | None:
        text = cell.text.strip()
        try:
            metres = _metres(text, self.unit, decimal_comma=self.separator != ",")
        except UnitError as problem:
            self.refuse(line, cell, problem.message, number_meant(text, problem.hint))
            return None
        if metres <= 0:
            self.refuse(line, cell, "a tape has a length", "leave it blank if it was not taped")
            return None
        if metres > longest:
            across = length_text(longest - SLACK_M, "both")
            message = f"{text} is longer than the arena, {across} from corner to corner"
            self.refuse(line, cell, message, "check the unit")
            return None
        return metres


_NUMBER = re.compile(r"\d{1,6}(?:\.\d{1,6})?")


def _metres(text: str, unit: float, decimal_comma: bool) -> float:
    """Metres of a length with a unit of its own or, bare, in that of the column."""
    plain = text.replace(",", ".") if decimal_comma else text
    if _NUMBER.fullmatch(plain):
        return float(plain) * unit
    return parse_length(plain)


def _in_feet(text: str, unit: float) -> bool:
    """Whether a length was read in feet and inches: by its own unit, or by that of the column."""
    if any(letter.isalpha() for letter in text) or {"'", '"', "′", "’"} & set(text):
        return not any(word in text for word in ("m", "M"))
    return unit in (FOOT, FOOT / 12)


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _cells(row: str, separator: str) -> list[_Cell]:
    """The cells of one line of CSV (RFC 4180), each with the column it begins in."""
    cells: list[_Cell] = []
    at = 0
    while at <= len(row):
        begin = at
        while begin < len(row) and row[begin] == " ":
            begin += 1
        if begin < len(row) and row[begin] == '"':
            text, at = _quoted(row, begin)
            end = row.find(separator, at)
            end = len(row) if end < 0 else end
            cells.append(_Cell(text + row[at:end].rstrip(), begin + 1))
        else:
            end = row.find(separator, begin)
            end = len(row) if end < 0 else end
            cells.append(_Cell(row[begin:end].rstrip(), begin + 1))
        at = end + 1
    return cells


def _quoted(row: str, begin: int) -> tuple[str, int]:
    """The text between quotes, doubled ones taken for one, and where it ends."""
    out: list[str] = []
    at = begin + 1
    while at < len(row):
        if row[at] == '"':
            if row[at + 1 : at + 2] != '"':
                return "".join(out), at + 1
            at += 1
        out.append(row[at])
        at += 1
    return "".join(out), at
