"""How wide the columns of an observation sheet are, and what of a pass mark is printed in them.

A column is two halves for marks and a box for each figure asked; it gets wider where there is
room, for the pencil and for its pass mark. Paper millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from diagram.drawing.pad import broken, cut
from diagram.records.observing import Column, ObservationSheet
from diagram.style import Weight, points, text_width

NAMES, ROUND = 31.0, 5.0
HALF, BOX = 9.5, 9.5
LEAST_NOTES, ROOMY_NOTES, WIDE_NOTES = 25.0, 45.0, 70.0
MOST_WIDER = 1.6
WIDEST_COLUMN = 42.0


class ColumnPlace(Struct, frozen=True):
    """A column, where it begins, and by how much it is wider than it must be."""

    column: Column
    x: float
    wider: float

    @property
    def width(self) -> float:
        """Millimetres of the whole column."""
        return self.wider * column_width(self.column)

    @property
    def half(self) -> float:
        """Millimetres of H, and of R."""
        return self.wider * HALF

    @property
    def box(self) -> float:
        """Millimetres of a box for a figure."""
        return self.wider * BOX


def column_width(column: Column) -> float:
    """Millimetres of a column: H and R, and a box for each figure asked."""
    return 2 * HALF + BOX * len(column.figures)


def halves(columns: Sequence[Column], room: float) -> list[tuple[Column, ...]]:
    """Columns in as many parts as they need, broken after a phase and not within if possible."""
    out: list[list[Column]] = [[]]
    taken = 0.0
    for n, column in enumerate(columns):
        width = column_width(column)
        phase = [c for c in columns[n:] if c.phase == column.phase]
        begins = n and columns[n - 1].phase != column.phase
        rest = sum(column_width(c) for c in phase)
        if out[-1] and (taken + width > room or (begins and taken + rest > room >= rest)):
            out.append([])
            taken = 0.0
        out[-1].append(column)
        taken += width
    return [tuple(part) for part in out]


WEIGHT: dict[bool, Weight] = {True: "semibold", False: "regular"}
BEGIN = {True: 4.8, False: 1.2}
"""Of the words of a column, with the box of a pass mark before them and without."""


def widening(columns: Sequence[Column], wide: float) -> list[float]:
    """By how much each column is wider: all where there are few, for the pencil; then those whose
    pass mark would be cut even in its first clause, as far as the notes can spare it; then those
    of which all fits, as long as the notes stay roomy."""
    taken = sum(map(column_width, columns))
    room = wide - NAMES - ROUND
    even = min(max(1.0, (room - WIDE_NOTES) / taken), MOST_WIDER)
    found = [even] * len(columns)
    for notes, whole in ((LEAST_NOTES, False), (ROOMY_NOTES, True)):
        spare = room - notes - sum(w * column_width(c) for w, c in zip(found, columns, strict=True))
        for n, column in enumerate(columns):
            wanted = _wanted(column, found[n], whole)
            more = (wanted - found[n]) * column_width(column)
            if 0.0 < more <= spare:
                found[n], spare = wanted, spare - more
    return found


def _wanted(column: Column, least: float, whole: bool) -> float:
    """How wide holds the first clause of a pass mark, or all of it; `least` where nothing does."""
    wider = least
    while not _held(column, wider, whole):
        wider += 1.0 / column_width(column)
        if wider * column_width(column) > WIDEST_COLUMN + 1.0:
            return least
    return wider


def printed(column: Column, wider: float) -> list[str]:
    """The lines of a column's pass mark, or of what to watch, as they are printed."""
    return _two_lines(column.clauses, _room(column, wider), WEIGHT[column.passed])


def _room(column: Column, wider: float) -> float:
    return wider * column_width(column) - BEGIN[column.passed] - 0.8


def _held(column: Column, wider: float, whole: bool) -> bool:
    """Whether two lines hold a clause of the pass mark, or all; what to watch may be cut."""
    room, weight = _room(column, wider), WEIGHT[column.passed]
    texts = column.clauses[-1:] if whole else column.clauses
    return not column.passed or any(_fits(text, room, weight) for text in texts)


def whole_marks(columns: Sequence[Column], wide: float) -> list[str]:
    """Lines of `wide` mm with the pass marks of which a column has only a part, whole."""
    each = zip(columns, widening(columns, wide), strict=True)
    said = [
        f"{column.called} {column.name}: {column.clauses[-1]}"
        for column, wider in each
        if column.passed and " ".join(printed(column, wider)) != column.clauses[-1]
    ]
    return list(broken(f"Passed when, whole: {'; '.join(said)}", wide, 8.5)) if said else []


def shortened(sheet: ObservationSheet, paper: tuple[float, float]) -> list[tuple[Column, str]]:
    """Columns of whose pass mark only a part is printed, and that part."""
    wide = paper[0] - 2 * sheet.margin
    both = []
    for part in sheet.parts:
        for columns in halves(part.columns, wide - NAMES - ROUND - LEAST_NOTES):
            each = zip(columns, widening(columns, wide), strict=True)
            both += [(c, " ".join(printed(c, wider))) for c, wider in each if c.passed]
    return [(column, words) for column, words in both if words != column.clauses[-1]]


def _two_lines(clauses: Sequence[str], room: float, weight: Weight) -> list[str]:
    """The longest of the texts that two lines hold; of the shortest, what they hold."""
    for text in sorted(clauses, key=len, reverse=True):
        if _fits(text, room, weight):
            return broken(text, room, 8.5, weight)
    lines = broken(min(clauses, key=len, default=""), room, 8.5, weight)
    return [cut(one if n == 0 or len(lines) == 2 else f"{one} …", room, 8.5, weight)
            for n, one in enumerate(lines[:2])]  # fmt: skip


def _fits(text: str, room: float, weight: Weight) -> bool:
    lines = broken(text, room, 8.5, weight)
    return len(lines) <= 2 and all(text_width(one, points(8.5), weight) <= room for one in lines)
