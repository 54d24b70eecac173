"""A sheet as CSV, to fill in with a spreadsheet and read back, cell by cell.

One row for each round. The cell of an element takes what the keyboard takes: ``a``, or ``w``,
``n`` or ``x`` followed by whose miss it was (``nr``: not as asked, the rider's). An empty cell was
not seen, and a row without a mark was not ridden. ``a!`` says that a tick holds although the
count or the lead was another.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from diagram.diagnostics import Diagnostic, RejectedError, Severity, Span
from diagram.records.entry import LEAD_KEYS, MARK_KEYS, WHOSE_KEYS
from diagram.records.people import alike
from diagram.records.sheets import Filled, TickBox, doubtful, impossible
from diagram.records.spreadsheet import cell
from diagram.records.values import Element, ExerciseVersion, Hand, Pair, PrintedSheet
from diagram.units import UnitError, length_text, parse_length

FIRST = ("rider", "horse", "exercise", "round", "height")
LAST = ("whole", "note")


def template_bytes(sheet: PrintedSheet) -> bytes:
    """An empty table for a sheet: rows and columns as on paper."""
    columns = [name for name, _, _ in _columns(sheet)]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*FIRST, *columns, *LAST])
    for exercise in sheet.exercises:
        for pair in sheet.pairs:
            for number in range(1, sheet.rounds + 1):
                height = length_text(sheet.height_mm / 1000, "feet")
                head = [pair.person.name, pair.horse.name, exercise.title, str(number), height]
                writer.writerow([cell(text) for text in (*head, *("",) * len(columns), "yes", "")])
    return out.getvalue().encode()


def _columns(sheet: PrintedSheet) -> list[tuple[str, str, str]]:
    """Name, number on paper and field of every column between the first and the last ones."""
    found: list[tuple[str, str, str]] = []
    at: dict[str, list[Element]] = {}
    taken: set[str] = set()
    for exercise, timed in zip(sheet.exercises, sheet.timed, strict=True):
        for element in exercise.elements:
            at.setdefault(element.called, []).append(element)
            taken |= {element.called} if element.place in timed else set()
    for called in sorted(at, key=lambda one: (int(one.rstrip("abcdefghij")), one)):
        own = at[called]
        names = {element.name for element in own}
        found.append((f"{called} {names.pop()}" if len(names) == 1 else called, called, "mark"))
        asked = {
            "strides": any(e.strides_asked is not None for e in own),
            "out": any(e.strides_out_asked is not None for e in own),
            "seconds": called in taken,
            "lead": any(e.lead_asked is not None for e in own),
        }
        found += [(f"{called} {field}", called, field) for field, wanted in asked.items() if wanted]
    return found


def read_template(sheet: PrintedSheet, text: str, name: str) -> tuple[Filled, ...]:
    """The rounds of a filled table. Raises RejectedError with every cell that is wrong."""
    return _Reader(sheet, text, name).rounds()


CELLS = (
    "look for a comma too many or too few in this row; a text with a comma "
    "in it has quotes round it"
)
MARKS = (
    "write a for as asked, w with work, n not as asked, x not jumped; behind w, n and x whose miss "
    "it was: h, r, b or u"
)


class _Reader:
    """Walks the rows once, and gathers rounds and problems."""

    def __init__(self, sheet: PrintedSheet, text: str, name: str) -> None:
        self.sheet, self.text, self.name = sheet, text, name
        self.problems: list[Diagnostic] = []
        self.line, self.starts = 1, [1]

    def refuse(self, column: int, message: str, hint: str = "") -> None:
        at = self.starts[column] if column < len(self.starts) else 1
        span = Span(self.name, self.line, at, self.line, at + 1)
        self.problems.append(Diagnostic("sheet", Severity.ERROR, message, span, hint))

    def rounds(self) -> tuple[Filled, ...]:
        columns = _columns(self.sheet)
        heads = [*FIRST, *(name for name, _, _ in columns), *LAST]
        found, seen = [], set()
        for row in self._rows(heads):
            filled = self._round(row, columns)
            if filled is None:
                continue
            key = (filled.pair.pair_id, filled.exercise.exercise_id, filled.number)
            if key in seen:
                self.refuse(3, "this round stands in an earlier row already", "number it anew")
            seen.add(key)
            found.append(filled)
        if self.problems:
            raise RejectedError(self.problems, {self.name: self.text})
        return tuple(found)

    def _rows(self, heads: list[str]) -> Iterator[list[str]]:
        semicolons = self.text.split("\n", 1)[0].count(";") > self.text.split("\n", 1)[0].count(",")
        between = ";" if semicolons else ","
        reader = csv.reader(io.StringIO(self.text, newline=""), delimiter=between, strict=True)
        try:
            for row in reader:
                self.line = reader.line_num
                self.starts = [1]
                for written in row:
                    self.starts.append(self.starts[-1] + len(written) + 1)
                if self.line == 1:
                    if [text.strip() for text in row] != heads:
                        self.refuse(
                            0, f"these are not the columns of sheet {self.sheet.number}",
                            f"write it anew: record template {self.sheet.number}",
                        )  # fmt: skip
                        return
                elif any(text.strip() for text in row):
                    if len(row) != len(heads):
                        message = f"{len(row)} cells where {len(heads)} are wanted"
                        self.refuse(0, message, CELLS)
                        continue
                    yield [text.strip().removeprefix("'") for text in row]
        except csv.Error as problem:
            self.refuse(0, f"this is not CSV: {problem}", "save it as CSV, UTF-8")

    def _round(self, row: list[str], columns: list[tuple[str, str, str]]) -> Filled | None:
        cells = row[len(FIRST) : len(FIRST) + len(columns)]
        if not any(cells):
            return None
        pair, exercise = self._pair(row), self._exercise(row)
        said, more = row[3].removesuffix("!"), row[3].endswith("!")
        number = int(said) if said.isdecimal() else 0
        if not 1 <= number <= 99:
            self.refuse(3, f"{row[3]!r} is no number of a round", "write 1 to 99")
        elif number > self.sheet.rounds and not more:
            message = f"round {number}, and the sheet has {self.sheet.rounds}"
            self.refuse(3, message, f"write {number}! if it was ridden")
        try:
            height = round(parse_length(row[4]) * 1000)
        except UnitError as problem:
            hint = (
                f"write it with its unit, like {length_text(self.sheet.height_mm / 1000, 'feet')}"
            )
            self.refuse(4, problem.message, hint)
            height = 0
        if row[-2] not in ("yes", "no", ""):
            self.refuse(len(row) - 2, f"{row[-2]!r}: was the round ridden whole?", "yes or no")
        if pair is None or exercise is None:
            return None
        boxes = self._boxes(exercise, columns, cells)
        return Filled(pair, exercise, number, height, boxes, row[-2] != "no", row[-1])

    def _pair(self, row: list[str]) -> Pair | None:
        for pair in self.sheet.pairs:
            same = alike(pair.person.name), alike(pair.horse.name)
            if same == (alike(row[0]), alike(row[1])):
                return pair
        names = "; ".join(f"{pair.person.name}, {pair.horse.name}" for pair in self.sheet.pairs)
        self.refuse(0, f"{row[0]}, {row[1]} is not on this sheet", f"on it: {names}")
        return None

    def _exercise(self, row: list[str]) -> ExerciseVersion | None:
        for exercise in self.sheet.exercises:
            if exercise.title == row[2]:
                return exercise
        titles = "; ".join(exercise.title for exercise in self.sheet.exercises)
        self.refuse(2, f'"{row[2]}" is not on this sheet', f"on it: {titles}")
        return None

    def _boxes(
        self, exercise: ExerciseVersion, columns: list[tuple[str, str, str]], cells: list[str]
    ) -> dict[int, TickBox]:
        boxes = {}
        for element in exercise.elements:
            own = {
                field: (n + len(FIRST), written)
                for n, ((_, called, field), written) in enumerate(zip(columns, cells, strict=True))
                if called == element.called
            }
            box = self._box(element, own)
            if box is not None:
                boxes[element.place] = box
        return boxes

    def _box(self, element: Element, own: dict[str, tuple[int, str]]) -> TickBox | None:
        column, written = own["mark"]
        rest = [(n, text) for field, (n, text) in own.items() if field != "mark" and text]
        if not written:
            if rest:
                self.refuse(rest[0][0], "there is a figure but no mark", "write a, w, n or x")
            return None
        keys = written.lower().replace(" ", "")
        keys, sure = keys.removesuffix("!"), keys.endswith("!")
        mark, whose = MARK_KEYS.get(keys[:1]), WHOSE_KEYS.get(keys[1:2])
        if mark is None or len(keys) > 2 or (len(keys) == 2 and whose is None):
            self.refuse(column, f"{written!r} is no mark", MARKS)
            return None
        box = TickBox(
            mark, whose, self._whole(own.get("strides")), self._whole(own.get("out")),
            self._seconds(own.get("seconds")), self._lead(own.get("lead")),
        )  # fmt: skip
        for question in impossible(box):
            hint = "write what holds"
            if mark is not None and whose is None and len(keys) == 1:
                each = f"{keys}h, {keys}r, {keys}b or {keys}u"
                hint = f"write {each}: the horse's, the rider's, of both, or nobody can say"
            self.refuse(column, f"{element.called} {element.name}: {question}", hint)
        for question in () if sure else doubtful(element, box):
            hint = f"write {written}! if both hold"
            self.refuse(column, f"{element.called} {element.name}: {question}", hint)
        return box

    def _whole(self, found: tuple[int, str] | None) -> int | None:
        if found is None or not found[1]:
            return None
        if not found[1].isdigit() or int(found[1]) > 99:
            self.refuse(found[0], f"{found[1]!r} is no count of strides", "write it like 5")
            return None
        return int(found[1])

    def _seconds(self, found: tuple[int, str] | None) -> float | None:
        if found is None or not found[1]:
            return None
        try:
            value = float(found[1].replace(",", "."))
        except ValueError:
            value = -1.0
        if not 0 < value < 1000:
            self.refuse(found[0], f"{found[1]!r} is no time in seconds", "write it like 4.2")
            return None
        return value

    def _lead(self, found: tuple[int, str] | None) -> Hand | None:
        if found is None or not found[1]:
            return None
        lead = LEAD_KEYS.get(found[1].lower()[:1])
        if lead is None:
            self.refuse(found[0], f"{found[1]!r} is no lead", "write l or r")
        return lead
