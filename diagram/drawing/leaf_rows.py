"""The rows of the builder's leaf: for each fence a box to tick, its tapes, its pieces, its side.

Rows are as high as they need and share what is left. Where there is little room the pieces go up
beside the name, both feet on one line and marks are called shorter; then the name is set as large
as its kind and the figures at 15, at last at 14 points. What still does not fit goes on the next
leaf.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from diagram.drawing.side_view import side_view
from diagram.exercise.equipment import equipment_of
from diagram.scene import Fill, Group, Item, Stroke, Text
from diagram.stakeout.leaf_notes import equipment_words
from diagram.stakeout.leaf_words import LeafWords, TapeLine, shortened
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.taped import Taped
from diagram.style import INK, PAPER, Pen, points, text_width
from diagram.units import Units

WORD_WIDTH, WIDTH = 16.5, 117.0
"""Millimetres: the column of words, a whole row."""
TEXT, LARGE, SMALL = points(10.5), points(22), points(8.5)
LARGE_LINE = 7.4
"""Millimetres of a line from which on its figure is set at LARGE."""
MOST_LINE, SECOND_LINE, PIECES, FIGURE_GAP = 9.0, 3.9, 5.0, 1.0
RULE, THIN = Pen(INK, 0.7), Pen(INK, 0.25)


@dataclass(frozen=True, slots=True)
class RowSetting:
    """How tight rows are set: heights in mm and sizes of type, from loose to tight. `end` is the
    right edge of the figures, `view` the least height of the side view. `short` puts the pieces
    beside the name and both feet of a fence on one line; `small_before` sets the small figures of
    the other unit before the large ones and not under them."""

    head: float
    line: float
    square: float
    name: float
    kind: float
    figure: float
    gap: float
    end: float
    short: bool
    view: float = 0.0
    small_before: bool = False


LOOSE = RowSetting(
    9.6, 5.4, 7.0, points(19), points(12), points(16), 3.0, 86.0, short=False, view=20.0
)
CLOSE = RowSetting(
    8.2, 5.4, 7.0, points(19), points(12), points(16), 3.0, 86.0, short=True, view=20.0
)
TIGHT = RowSetting(
    6.0, 5.2, 5.4, points(13), points(10.5), points(15), 2.0, 90.0, short=True, small_before=True
)
TIGHTER = RowSetting(
    5.8, 4.8, 5.0, points(12), points(10.5), points(15), 2.0, 90.0, short=True, small_before=True
)
TIGHTEST = RowSetting(
    5.3, 4.35, 4.6, points(12), points(10.5), points(14), 1.6, 91.0, short=True, small_before=True
)


@dataclass(frozen=True)
class RowText:
    """What stands in a row: each tape with its text broken to the room left of its figure."""

    number: int
    fence: Taped
    tapes: tuple[tuple[TapeLine, tuple[str, ...]], ...]
    pieces: tuple[str, ...]
    faces: tuple[str, ...]
    set_as: RowSetting

    @property
    def least(self) -> float:
        """Millimetres that it needs."""
        more = sum(_more(line, lines, self.set_as) for line, lines in self.tapes)
        own = self.set_as
        pieces = PIECES + SECOND_LINE * (len(self.pieces) - 1)
        if own.short and self.beside:
            pieces = 0.8
        return max(own.head + own.line * len(self.tapes) + more + pieces, own.head + own.view)

    def called_large(self, line: TapeLine, lines: tuple[str, ...]) -> bool:
        """Whether the length of a line has the width for the largest figures beside its words."""
        if not line.large or line.small:
            return False
        words = max(text_width(text, TEXT) for text in lines)
        free = self.set_as.end - WORD_WIDTH - words - FIGURE_GAP
        return text_width(line.figure, LARGE, "bold") <= free

    def raise_of(self, line: TapeLine, lines: tuple[str, ...]) -> float:
        """Millimetres that the line needs more for the largest figures."""
        if not self.called_large(line, lines):
            return 0.0
        return max(0.0, LARGE_LINE - self.set_as.line - _more(line, lines, self.set_as))

    @property
    def raised(self) -> float:
        """The same for the whole row."""
        return sum(self.raise_of(line, lines) for line, lines in self.tapes)

    @property
    def beside(self) -> bool:
        """Whether the pieces have room beside the name."""
        own = self.set_as
        kind = text_width(self.fence.placed.fence.kind.name, own.kind)
        name = text_width(self.fence.name, own.name, "bold")
        # In a low row they must not run on above the side view.
        end = WIDTH if len(self.tapes) > 2 else own.end
        room = end - (2 * own.square + 4.0 + name + kind + 2 * own.gap)
        return len(self.pieces) == 1 and text_width(self.pieces[0], TEXT) <= room


def fitted_rows(setting: SettingOut, words: LeafWords, height: float) -> list[RowText]:
    """The rows of every fence, set as loosely as `height` mm allow; tight where they are more."""
    for set_as in (LOOSE, CLOSE, TIGHT, TIGHTER, TIGHTEST):
        for roomy in (True, False):
            rows = _rows(setting, words, set_as, roomy)
            if sum(row.least for row in rows) <= height:
                return rows
    return rows


def _rows(
    setting: SettingOut, words: LeafWords, set_as: RowSetting, roomy: bool
) -> list[RowText]:  # fmt: skip
    """The rows in one setting. Standards are called by their sides where that takes no line more;
    where it is `roomy` once at least, in the first row that can. There loose standards have a line
    for the length of their pole."""
    named = roomy
    poles = usual_poles(setting)
    jobs = {job.fence: job for job in setting.jobs if job.fence}
    out = []
    settings = {fence.name: fence for fence in setting.fences}
    for number, fence in enumerate(setting.leaf.fences, 1):
        own = settings[fence.name]
        side = words.sides.get(own.comes_from, own.comes_from)
        faces = [f"from the {side}", f"from {shortened(side)}"]
        if own.both_ways:
            faces = [f"both ways, first {said}" for said in faces] + ["both ways"]
        tapes = []
        for line in words.tapes(fence, set_as.short, tight=not roomy):
            size = LARGE if line.large and not set_as.short else set_as.figure
            room = set_as.end - WORD_WIDTH - text_width(line.figure, size, "bold") - FIGURE_GAP
            if line.small and set_as.small_before:
                room -= text_width(line.small, SMALL) + 2 * FIGURE_GAP
            text, longer = broken(line.text, TEXT, room), broken(line.named, TEXT, room)
            if line.named and len(longer) <= max(len(text), 1 + named):
                text, named = longer, False
            tapes.append((line, text))
        pieces = equipment_words(equipment_of(fence.placed.fence), poles)
        job = jobs.get(fence.name)
        if setting.after is not None and job is not None:
            begin = f"from old {job.old}" if job.old else f"from the {setting.store_name}"
            if job.first:
                begin = f"take down old {' and '.join(job.first)} first; {begin}"
            pieces = f"{begin}: {pieces}"
        out.append(
            RowText(
                number, fence, tuple(tapes), broken(pieces, TEXT, set_as.end), tuple(faces), set_as
            )
        )
    return out


def usual_poles(setting: SettingOut) -> float | None:
    """The length of the poles where all of them have one."""
    widths = {fence.fence.measures.width_m for fence in setting.plan.fences}
    return widths.pop() if len(widths) == 1 else None


def rows_that_fit(rows: Sequence[RowText], height: float) -> int:
    """How many rows, from the first, a column of `height` mm holds."""
    total = 0.0
    for n, row in enumerate(rows):
        total += row.least
        if total > height:
            return n
    return len(rows)


def draw_rows(
    rows: Sequence[RowText], setting: SettingOut, left: float, top: float, height: float,
    width: float,
) -> Group:  # fmt: skip
    """Rows one under the other in a column, what is left shared out between their tapes."""
    spare = height - sum(row.least for row in rows)
    # Lines of the ride are called out first of all: what is left goes to their figures first.
    raised = sum(row.raised for row in rows)
    grown = raised <= spare
    spare -= raised if grown else 0.0
    count = sum(len(row.tapes) + 1 for row in rows) or 1
    marks: list[Item] = []
    y = top
    for row in rows:
        stretch = max(0.0, min(MOST_LINE - row.set_as.line, spare / count))
        marks += _row(row, setting, left, y, stretch, width, grown)
        y += row.least + stretch * (len(row.tapes) + 1) + (row.raised if grown else 0.0)
    return Group("rows", tuple(marks))


def _row(
    row: RowText, setting: SettingOut, left: float, top: float, stretch: float, width: float,
    grown: bool,
) -> Iterator[Item]:  # fmt: skip
    fence, own = row.fence, row.set_as
    height = row.least + stretch * (len(row.tapes) + 1) + (row.raised if grown else 0.0)
    yield Stroke(((left, top), (left + width, top)), RULE)
    beside = own.short and row.beside
    yield from _head(row, left, top + 1.2 + stretch / 2, row.pieces[0] if beside else "")
    y = top + own.head + stretch * 0.7
    for n, (line, lines) in enumerate(row.tapes):
        if n and line.word:
            yield Stroke(((left, y), (left + own.end, y)), THIN)
        more = _more(line, lines, own)
        large = row.called_large(line, lines)
        tall = own.line + stretch + more + (row.raise_of(line, lines) if grown else 0.0)
        size = LARGE if large and tall >= LARGE_LINE - 1e-9 else own.figure
        base = y + tall / 2 + TEXT * 0.33 - SECOND_LINE * (len(lines) - 1) / 2
        if line.word:
            yield Text((left, base), line.word, TEXT, "semibold")
        for m, text in enumerate(lines):
            yield Text((left + WORD_WIDTH, base + m * SECOND_LINE), text, TEXT)
        under = line.small and not own.small_before
        middle = y + tall / 2 + size * 0.345 - (more / 2 if under else 0.0)
        yield Text((left + own.end, middle), line.figure, size, "bold", "end")
        if line.small:
            before = left + own.end - text_width(line.figure, size, "bold") - 1.5 * FIGURE_GAP
            at = (left + own.end, middle + 3.6) if under else (before, middle)
            yield Text(at, line.small, SMALL, anchor="end")
        y += tall
    if not beside:
        for m, text in enumerate(row.pieces):
            yield Text((left, y + 3.6 + m * SECOND_LINE), text, TEXT)
    units: Units = "metres" if setting.crew.units == "metres" else "feet"
    both = next((f.both_ways for f in setting.fences if f.name == fence.name), False)
    base = top + min(height - 6.2, own.head + (height - own.head) * 0.5 + 12.0)
    # Pieces beside the name may run over to where the side view would be.
    room = (width - own.end - 1.0, base - top - (own.head if beside else 1.0))
    yield from side_view(fence.placed, both, left + width, base, room, units)


def _more(line: TapeLine, lines: tuple[str, ...], set_as: RowSetting) -> float:
    """Millimetres that a tape needs over one line: more text, or a small figure below."""
    below = 3.2 if line.small and not set_as.small_before else 0.0
    return max(SECOND_LINE * (len(lines) - 1), below)


def _head(row: RowText, left: float, top: float, pieces: str) -> Iterator[Item]:
    """The box to tick, the order of setting, the name, the kind; the pieces where they fit."""
    own, side = row.set_as, row.set_as.square
    corners = ((0.3, 0.3), (side, 0.3), (side, side), (0.3, side))
    yield Stroke(tuple((left + x, top + y) for x, y in corners), Pen(INK, 0.5), closed=True)
    figure, order = str(row.number), own.name * 0.9
    wide = max(side, text_width(figure, order, "bold") + 2.0)
    x = left + side + 2.0
    yield Fill(((x, top), (x + wide, top), (x + wide, top + side), (x, top + side)), INK)
    base = top + side / 2 + order * 0.35
    yield Text((x + wide / 2, base), figure, order, "bold", "middle", colour=PAPER)
    x += wide + 2.0
    base = top + side / 2 + own.name * 0.33
    yield Text((x, base), row.fence.name, own.name, "bold")
    x += text_width(row.fence.name, own.name, "bold") + own.gap
    kind = row.fence.placed.fence.kind.name
    room = left + WIDTH - x - (text_width(pieces, TEXT) + own.gap if pieces else 0.0)
    longer = (f"{kind}, {faces}" for faces in row.faces)
    kind = next((said for said in longer if text_width(said, own.kind) <= room), kind)
    yield Text((x, base), kind, own.kind)
    if pieces:
        yield Text((x + text_width(kind, own.kind) + own.gap, base), pieces, TEXT)


def broken(text: str, size: float, width: float) -> tuple[str, ...]:
    """Lines of words, each at most `width` mm unless a single word is wider; the number of a peg
    is not parted from it, nor a figure from its unit or from how often it is taken."""
    lines: list[str] = []
    for word in re.split(r"(?<!\bpeg)(?<!×)\s+(?!c?m\b|×)", text.strip()):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines) or ("",)
