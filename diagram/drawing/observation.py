"""The observation sheet: the place of a mark says whose miss it was, its shape how good it was.

A row for each round of each pair, a column for each element; H and R are the halves of a box,
the dashes between them both or unknown. Paper millimetres, held on its side.
"""

from __future__ import annotations

from collections.abc import Sequence

from diagram.drawing.observed_columns import (
    BEGIN,
    LEAST_NOTES,
    NAMES,
    ROUND,
    WEIGHT,
    ColumnPlace,
    column_width,
    halves,
    printed,
    whole_marks,
    widening,
)
from diagram.drawing.pad import Pad, broken, cut, fitting
from diagram.records.observing import Column, ObservationSheet, PairRow, SheetPart
from diagram.scene import Scene
from diagram.style import INK, Weight, points, text_width

LOWEST_BOX, LOW_BOX = 5.5, 5.1
"""Millimetres of a box; where pass marks are said whole below, lower rather than another page."""
HEAD, TOP = 26.5, 25.5
FOOT = 24.3
"""Millimetres below the table: the scale, H and R, and the line of keys."""


def pages_of(sheet: ObservationSheet, paper: tuple[float, float]) -> tuple[Scene, ...]:
    """The sheet on as few pages as hold its columns and rows; `paper` in mm, on its side."""
    room = paper[0] - 2 * sheet.margin - NAMES - ROUND - LEAST_NOTES
    wide = paper[0] - 2 * sheet.margin
    every = []
    for part in sheet.parts:
        for columns in halves(part.columns, room):
            more = WHOLE_LINE * len(whole_marks(columns, wide))
            high = paper[1] - TOP - HEAD - FOOT - more
            lowest = LOWEST_BOX if not more else LOW_BOX
            most = max(1, int(high / (lowest * sheet.rounds)))
            most = min(most, 4 if sheet.big else most)
            every += [
                (part, columns, sheet.rows[first : first + most])
                for first in range(0, max(len(sheet.rows), 1), most)
            ]
    of = f" of {len(every)}" if len(every) > 1 else ""
    return tuple(
        _Page(sheet, *one, paper, f", page {n}{of}" if of else "").scene()
        for n, one in enumerate(every, 1)
    )


class _Page:
    """One page of the sheet."""

    def __init__(
        self,
        sheet: ObservationSheet,
        part: SheetPart,
        columns: tuple[Column, ...],
        rows: Sequence[PairRow],
        paper: tuple[float, float],
        page: str,
    ) -> None:
        self.sheet, self.part, self.rows, self.page = sheet, part, rows, page
        self.pad = Pad(*paper)
        self.left, self.right = sheet.margin, paper[0] - sheet.margin
        x = self.left + NAMES + ROUND
        self.places = []
        each = widening(columns, self.right - self.left)
        for column, wider in zip(columns, each, strict=True):
            self.places.append(ColumnPlace(column, x, wider))
            x += wider * column_width(column)
        self.notes = x
        self.whole = whole_marks(columns, self.right - self.left)
        high = paper[1] - TOP - HEAD - FOOT - WHOLE_LINE * len(self.whole)
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
        self._below()
        self._scale()
        title = f"{self.part.title}, observation sheet {self.sheet.number}"
        return self.pad.scene(title, "A row for each round, a column for each element.")

    def _title(self) -> None:
        pad, sheet = self.pad, self.sheet
        pad.text(self.left, 12.8, self.part.title, 20, "bold")
        pad.runs(
            self.right, 12.8,
            [("observation sheet   fences ", 12, "regular"), (sheet.height, 14, "bold"),
             ("   sheet ", 12, "regular"), (str(sheet.number), 14, "bold"),
             (self.page, 12, "regular")],
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

    def _head(self, place: ColumnPlace) -> None:
        pad, column, x = self.pad, place.column, place.x
        pad.phase_disc(x + 5.2, TOP + 4.9, column.called, column.phase)
        beside = 10.2 if len(column.called) == 1 else 11.2
        for n, words in enumerate(broken(column.way, place.width - beside - 0.6, 8.5)[:2]):
            pad.text(x + beside, TOP + 4.4 + 3.3 * n, words, 8.5)
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
            both: tuple[tuple[str, float, Weight], ...] = (
                (row.rider, 4.9, "bold"), (row.horse, 9.7, "regular"),
            )  # fmt: skip
            for name, at, weight in both:
                size = fitting(name, NAMES - 2, (12, 10.5, 8.5), weight)
                pad.text(self.left, y + at, cut(name, NAMES - 2, size, weight), size, weight)
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

    def _below(self) -> None:
        """Lines to write on, where few pairs leave the foot of the sheet free."""
        pad, bottom = self.pad, self.pad.height - FOOT - WHOLE_LINE * len(self.whole)
        for n, line in enumerate(self.whole):
            pad.text(self.left, bottom + WHOLE_LINE * (n + 1), line, 8.5)
        if bottom - self.foot < LEAST_BELOW:
            return
        middle = (self.left + self.right) / 2
        for x, end, word in (
            (self.left, middle - 4.0, "what was seen"), (middle + 4.0, self.right, "for next time"),
        ):  # fmt: skip
            pad.text(x, self.foot + 8.0, word, 10.5, "semibold")
            count = int((bottom - 3.0 - self.foot - 8.0) / WRITTEN_LINE)
            for n in range(count):
                y = self.foot + 8.0 + WRITTEN_LINE * (n + 1)
                pad.rule((x, y), (end, y), 0.25)

    def _scale(self) -> None:
        pad, x, y = self.pad, self.left, self.pad.height - 18.8
        for n, (word, said, width) in enumerate(SCALE):
            self._stroke(n, x + 2.2, y - 1.4)
            pad.text(x + 6.6, y, word, 12, "bold")
            pad.text(x + 6.6, y + 4.8, said, 8.5)
            x += width
        pad.rule((x, y - 4.5), (x, y + 5.8), 0.5)
        pad.runs(x + 3, y, [("H", 12, "bold"), (" the horse's miss", 10.5, "regular")])
        pad.runs(x + 3, y + 4.8, [("R", 12, "bold"), (" the rider's", 10.5, "regular")])
        # Where the paper is too narrow for it here, it is said in the lines of keys.
        beside = self.right - x > 41.0
        if beside:
            pad.text(self.right, y + 4.8, BOTH, 8.5, anchor="end")
        self._keys([] if beside else [BOTH])

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

    def _keys(self, more: list[str]) -> None:
        pad, x = self.pad, self.left
        words = [*more, *self._said_of_boxes()]
        look = any(n == self.part.number for row in self.rows for n, _ in row.look)
        begin = x + (10.2 + text_width(LOOK, points(8.5)) if look else 0.0)
        # The second line stays clear of what a printer cannot reach.
        y = pad.height - 9.0
        if look:
            pad.area(((x, y - 2.5), (x + 2.7, y - 2.5), (x, y + 0.2)), INK)
            pad.text(x + 4.2, y, LOOK, 8.5)
        x = begin
        for line in self._lines(begin, words):
            taken = sum(text_width(text, points(8.5)) for text in line)
            gap = min(6.0, (self.right - x - taken) / max(len(line) - 1, 1))
            for text in line:
                pad.text(x, y, text, 8.5)
                x += text_width(text, points(8.5)) + gap
            x, y = self.left, y + 3.5

    def _said_of_boxes(self) -> list[str]:
        words = ["Empty: not seen, counts neither way."]
        kinds = {figure.kind for place in self.places for figure in place.column.figures}
        if "strides" in kinds:
            words.append("of 5: the strides you counted.")
        if "seconds" in kinds:
            words.append("s: seconds from the fence before.")
        if "lead" in kinds:
            words.append("L, R in a square: the lead it landed on; black: it has to change.")
        return [*words, "On the dashes: a tick, or a miss of which you cannot say whose."]

    def _lines(self, x: float, words: list[str]) -> list[list[str]]:
        """The keys on one line, or on two where they need it; `x` is where the first begins."""
        room = self.right - x
        for end in range(len(words)):
            taken = sum(text_width(text, points(8.5)) for text in words[: end + 1])
            if taken + LEAST_GAP * end > room:
                return [words[:end], words[end:]]
        return [words]


LEAST_GAP, WHOLE_LINE = 2.5, 3.5
LEAST_BELOW = 30.0
"""Millimetres below the last pair that are worth lines to write on, WRITTEN_LINE apart."""
WRITTEN_LINE = 9.0
BOTH = "both: a mark in each"
LOOK = "not shown yet by this pair: look here"
SCALE = (
    ("as asked", "pass mark met, nobody had to save it", 55.0),
    ("with work", "met, but one of the two had to save it", 55.0),
    ("not as asked", "jumped; count, lead, gait or pole was not", 59.0),
    ("not jumped", "stop, run-out, pulled up, fall (note it)", 53.0),
)
