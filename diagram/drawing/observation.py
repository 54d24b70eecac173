"""The observation sheet: the place of a mark says whose miss it was, its shape how good it was.

A row for each round of each pair, a column for each element; H and R are the halves of a box,
the dashes between them both or unknown. Paper millimetres, held on its side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diagram.drawing.pad import Pad, broken, cut
from diagram.records.observing import Column, ObservationSheet, PairRow, SheetPart
from diagram.scene import Scene
from diagram.style import INK, Weight, points, text_width

NAMES, ROUND = 31.0, 5.0
HALF, BOX, ASKED = 9.5, 9.5, 9.5
LEAST_NOTES, WIDE_NOTES = 25.0, 70.0
MOST_WIDER = 1.6
WIDEST_COLUMN = 42.0
LOWEST_BOX = 5.5
HEAD, TOP = 26.5, 25.5
FOOT = 24.3
"""Millimetres below the table: the scale, H and R, and the line of keys."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A column and where it begins."""

    column: Column
    x: float
    wider: float

    @property
    def width(self) -> float:
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


def pages_of(sheet: ObservationSheet, paper: tuple[float, float]) -> tuple[Scene, ...]:
    """The sheet on as few pages as hold its columns and rows; `paper` in mm, on its side."""
    room = paper[0] - 2 * sheet.margin - NAMES - ROUND - LEAST_NOTES
    high = paper[1] - TOP - HEAD - FOOT
    most = max(1, int(high / (LOWEST_BOX * sheet.rounds)))
    most = min(most, 4 if sheet.big else most)
    scenes = []
    for part in sheet.parts:
        for columns in _halves(part.columns, room):
            for first in range(0, max(len(sheet.rows), 1), most):
                rows = sheet.rows[first : first + most]
                scenes.append(_Page(sheet, part, columns, rows, paper).scene())
    return tuple(scenes)


def _halves(columns: Sequence[Column], room: float) -> list[tuple[Column, ...]]:
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
    """By how much each column is wider: all where there are few, for the pencil, and those more
    whose pass mark would be cut even in its first clause, as far as the notes can spare it."""
    taken = sum(map(column_width, columns))
    room = wide - NAMES - ROUND
    even = min(max(1.0, (room - WIDE_NOTES) / taken), MOST_WIDER)
    spare = room - LEAST_NOTES - even * taken
    found = []
    for column in columns:
        own, wider = column_width(column), even
        while not _held(column, wider) and wider * own < WIDEST_COLUMN:
            wider += 1.0 / own
        if not _held(column, wider) or (wider - even) * own > spare:
            wider = even
        spare -= (wider - even) * own
        found.append(wider)
    return found


def printed(column: Column, wider: float) -> list[str]:
    """The lines of a column's pass mark, or of what to watch, as they are printed."""
    return _two_lines(column.clauses, _room(column, wider), WEIGHT[column.passed])


def _room(column: Column, wider: float) -> float:
    return wider * column_width(column) - BEGIN[column.passed] - 0.8


def _held(column: Column, wider: float) -> bool:
    """Whether two lines hold a clause of the pass mark; what to watch may be cut."""
    room, weight = _room(column, wider), WEIGHT[column.passed]
    return not column.passed or any(_fits(text, room, weight) for text in column.clauses)


def shortened(sheet: ObservationSheet, paper: tuple[float, float]) -> list[tuple[Column, str]]:
    """Columns of whose pass mark only a part is printed, and that part."""
    wide = paper[0] - 2 * sheet.margin
    both = []
    for part in sheet.parts:
        for columns in _halves(part.columns, wide - NAMES - ROUND - LEAST_NOTES):
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


class _Page:
    """One page of the sheet."""

    def __init__(
        self,
        sheet: ObservationSheet,
        part: SheetPart,
        columns: tuple[Column, ...],
        rows: Sequence[PairRow],
        paper: tuple[float, float],
    ) -> None:
        self.sheet, self.part, self.rows = sheet, part, rows
        self.pad = Pad(*paper)
        self.left, self.right = sheet.margin, paper[0] - sheet.margin
        x = self.left + NAMES + ROUND
        self.places = []
        each = widening(columns, self.right - self.left)
        for column, wider in zip(columns, each, strict=True):
            self.places.append(_Place(column, x, wider))
            x += wider * column_width(column)
        self.notes = x
        high = paper[1] - TOP - HEAD - FOOT
        self.row = min(high / max(len(rows), 1), 3 * 11.1 * sheet.rounds / 3)
        self.low = self.row / sheet.rounds
        self.foot = TOP + HEAD + self.row * len(rows)

    def scene(self) -> Scene:
        """The page as marks on paper."""
        self._title()
        for place in self.places:
            self._head(place)
        self._corner_words()
        for n, row in enumerate(self.rows):
            self._row(row, TOP + HEAD + n * self.row)
        self._upright()
        self._scale()
        title = f"{self.part.title}, observation sheet {self.sheet.number}"
        return self.pad.scene(title, "A row for each round, a column for each element.")

    def _title(self) -> None:
        pad, sheet = self.pad, self.sheet
        pad.text(self.left, 12.8, self.part.title, 20, "bold")
        pad.runs(
            self.right, 12.8,
            [("observation sheet   fences ", 12, "regular"), (sheet.height, 14, "bold"),
             ("   sheet ", 12, "regular"), (str(sheet.number), 14, "bold")],
            "end",
        )  # fmt: skip
        x = self.left
        for word, room in (("date", 27.0), ("seen by", 42.0), ("footing, weather", 60.0)):
            pad.text(x, 21.0, word, 10.5)
            begin = x + text_width(word, points(10.5)) + 2
            pad.rule((begin, 21.6), (begin + room, 21.6), 0.25)
            x = begin + room + 5
        arena = cut(sheet.arena, self.right - x, 10.5)
        pad.text(self.right, 21.0, arena, 10.5, anchor="end")
        pad.rule((self.left, TOP), (self.right, TOP), 1.0)

    def _head(self, place: _Place) -> None:
        pad, column, x = self.pad, place.column, place.x
        pad.phase_disc(x + 5.2, TOP + 4.9, column.called, column.phase)
        for n, words in enumerate(broken(column.way, place.width - 10.8, 8.5)[:2]):
            pad.text(x + 10.2, TOP + 4.4 + 3.3 * n, words, 8.5)
        pad.text(x + 1.2, TOP + 12.2, cut(column.name, place.width - 2, 10.5, "bold"), 10.5, "bold")
        begin = x + BEGIN[column.passed]
        if column.passed:
            pad.box(x + 1.2, TOP + 13.7, 2.6, 2.6, 0.35)
        for n, words in enumerate(printed(column, place.wider)):
            pad.text(begin, TOP + 16.1 + 3.4 * n, words, 8.5, WEIGHT[column.passed])
        foot = TOP + HEAD - 2.2
        pad.text(x + place.half / 2, foot, "H", 10.5, "bold", "middle")
        pad.text(x + 1.5 * place.half, foot, "R", 10.5, "bold", "middle")
        for n, figure in enumerate(column.figures):
            middle = x + 2 * place.half + place.box * (n + 0.5)
            if figure.kind == "lead":
                self._lead(middle, foot, figure.text, column.changes)
            else:
                runs = [(f"{figure.word} ", 8.5, "regular"), (figure.text, 12, "bold")]
                pad.runs(middle, foot, runs, "middle")  # type: ignore[arg-type]

    def _lead(self, x: float, foot: float, letter: str, black: bool) -> None:
        """The lead asked, in a square: white to stay on it, black to change over the fence."""
        pad, half = self.pad, 2.1
        y = foot - 1.2
        if black:
            pad.bar(x - half, y - half, 2 * half, 2 * half, INK)
        else:
            pad.box(x - half, y - half, 2 * half, 2 * half, 0.5)
        pad.text(x, foot + 0.2, letter, 10.5, "bold", "middle", "#ffffff" if black else INK)

    def _corner_words(self) -> None:
        pad, y = self.pad, TOP + HEAD - 2.2
        pad.text(self.left, y, "rider, horse", 10.5, "semibold")
        pad.text(self.left + NAMES + ROUND - 1.3, y, "round", 8.5, anchor="end")
        pad.text(self.notes + 2, y, "notes", 10.5, "semibold")
        pad.rule((self.left, TOP + HEAD), (self.right, TOP + HEAD), 1.0)

    def _row(self, row: PairRow, y: float) -> None:
        pad = self.pad
        if row.rider:
            name = cut(row.rider, NAMES - 2, 12, "bold")
            pad.text(self.left, y + 4.9, name, 12, "bold")
            pad.text(self.left, y + 9.7, cut(row.horse, NAMES - 2, 12), 12)
            if self.row >= 13.5:
                pad.text(self.left, y + 13.8, row.last, 8.5)
        else:
            for n in (1, 2):
                line = y + min(self.row / 2.6, 6.0) * n
                pad.rule((self.left, line), (self.left + NAMES - 3, line), 0.25)
        for n in range(self.sheet.rounds):
            low = y + n * self.low
            pad.text(self.left + NAMES + ROUND - 1.3, low + self.low / 2 + 1.2, str(n + 1), 10.5,
                     anchor="end")  # fmt: skip
            if n:
                pad.rule((self.left + NAMES, low), (self.right, low), 0.25)
        for place in self.places:
            if (self.part.number, place.column.number) in row.look:
                pad.area(((place.x, y), (place.x + 3.1, y), (place.x, y + 3.1)), INK)
        pad.rule((self.left, y + self.row), (self.right, y + self.row), 0.7)

    def _upright(self) -> None:
        pad, top = self.pad, TOP + HEAD
        phase = None
        for place in self.places:
            width = 1.0 if place.column.phase != phase else 0.7
            phase = place.column.phase
            pad.rule((place.x, TOP), (place.x, self.foot), width)
            middle = place.x + place.half
            pad.rule((middle, top), (middle, self.foot), 0.25, (0.9, 0.9))
            for n in range(len(place.column.figures)):
                x = place.x + 2 * place.half + place.box * n
                pad.rule((x, top), (x, self.foot), 0.35)
        pad.rule((self.notes, TOP), (self.notes, self.foot), 0.7)

    def _scale(self) -> None:
        pad, y = self.pad, self.pad.height - 17.3
        x = self.left
        widths = (57.0, 59.0, 60.0, 46.0)
        for n, ((word, said), width) in enumerate(zip(SCALE, widths, strict=True)):
            self._stroke(n, x + 2.2, y - 1.4)
            pad.text(x + 6.6, y, word, 12, "bold")
            pad.text(x + 6.6, y + 4.8, said, 8.5)
            x += width
        pad.rule((x, y - 4.5), (x, y + 5.8), 0.5)
        pad.runs(x + 3, y, [("H", 12, "bold"), (" the horse's miss", 10.5, "regular")])
        pad.runs(x + 3, y + 4.8, [("R", 12, "bold"), (" the rider's", 10.5, "regular")])
        # Where the paper is too narrow for it here, it is said in the line of keys.
        beside = self.right - x > 41.0
        if beside:
            pad.text(self.right, y + 4.8, BOTH, 8.5, anchor="end")
        self._keys(pad.height - (7.0 if beside else 8.6), [] if beside else [BOTH])

    def _stroke(self, kind: int, x: float, y: float) -> None:
        pad = self.pad
        if kind == 0:
            pad.tick(x - 2.0, y - 1.6, 3.4, 0.7)
        elif kind == 1:
            pad.line(((x - 2.2, y), (x + 2.2, y)), 0.7, round_ends=True)
        elif kind == 2:
            pad.dot(x, y, 1.9, None, 0.7)
        else:
            pad.line(((x - 1.7, y - 1.7), (x + 1.7, y + 1.7)), 0.7, round_ends=True)
            pad.line(((x - 1.7, y + 1.7), (x + 1.7, y - 1.7)), 0.7, round_ends=True)

    def _keys(self, y: float, more: list[str]) -> None:
        pad, x = self.pad, self.left
        words = list(more)
        if any(n == self.part.number for row in self.rows for n, _ in row.look):
            pad.area(((x, y - 2.5), (x + 2.7, y - 2.5), (x, y + 0.2)), INK)
            pad.text(x + 4.2, y, LOOK, 8.5)
            x += 4.2 + text_width(LOOK, points(8.5)) + 6
        words.append("Empty: not seen, counts neither way.")
        kinds = {figure.kind for place in self.places for figure in place.column.figures}
        if "strides" in kinds:
            words.append("of 5: the strides you counted.")
        if "seconds" in kinds:
            words.append("s: seconds.")
        if "lead" in kinds:
            words.append("L, R in a square: the lead it landed on.")
        words.append("On the dashes: a tick, or a miss of which you cannot say whose.")
        for line in self._lines(x, words):
            taken = sum(text_width(text, points(8.5)) for text in line)
            gap = min(6.0, (self.right - x - taken) / max(len(line) - 1, 1))
            for text in line:
                pad.text(x, y, text, 8.5)
                x += text_width(text, points(8.5)) + gap
            x, y = self.left, y + 3.5

    def _lines(self, x: float, words: list[str]) -> list[list[str]]:
        """The keys on one line, or on two where they need it."""
        room = self.right - x - LEAST_GAP * (len(words) - 1)
        if sum(text_width(text, points(8.5)) for text in words) <= room:
            return [words]
        return [words[:-2], words[-2:]]


LEAST_GAP = 2.5
BOTH = "both: a mark in each"
LOOK = "not shown yet by this pair: look here"
SCALE = (
    ("as asked", "pass mark met, nobody had to save it"),
    ("with work", "met, but one of the two had to save it"),
    ("not as asked", "jumped; count, lead, gait or pole was not"),
    ("not jumped", "stop, run-out, pulled up, fall"),
)
