"""The rows of the builder's leaf: for each fence a box to tick, its tapes, its pieces, its side.

Rows are as high as they need and share what is left. Where there is little room the pieces go up
beside the name, both feet on one line and marks are called shorter; then the name is set as large
as its kind and the figures at 15, at last at 14 points. Where that is too much still, what is said
elsewhere as well goes, two readings of one tape share a line, and at last pieces that have no room
beside the name are left to the sum of all pieces. What still does not fit goes under the drawing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from diagram.drawing.leaf_row_settings import ROW_SETTINGS, RowSetting
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
LOW_ROW = 2
"""Tapes of a row up to which its side view stands beside the name."""
RULE, THIN = Pen(INK, 0.7), Pen(INK, 0.25)


class RowText(Struct, frozen=True):
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
        if own.short and (self.beside or not self.pieces):
            pieces = own.foot
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
    def least_kind(self) -> str:
        """The kind; with the side that the horse comes from, where a crew could build it the wrong
        way round."""
        fence = self.fence.placed.fence
        told = fence.has_front and self.faces_in_head
        return f"{fence.kind.name}, {self.faces[-1]}" if told else fence.kind.name

    @property
    def faces_in_head(self) -> bool:
        """Whether the head has room to say where the horse comes from; else the pieces do."""
        kind = f"{self.fence.placed.fence.kind.name}, {self.faces[-1]}"
        return text_width(kind, self.set_as.kind) <= WIDTH - self._before_kind

    @property
    def _before_kind(self) -> float:
        """Millimetres of box, order and name."""
        own = self.set_as
        wide = max(own.square, text_width(str(self.number), own.name * 0.9, "bold") + 2.0)
        name = text_width(self.fence.name, own.name, "bold")
        return own.square + 2.0 + wide + 2.0 + name + own.gap

    @property
    def beside(self) -> bool:
        """Whether the pieces have room beside the name."""
        own = self.set_as
        kind = text_width(self.least_kind, own.kind)
        # In a low row they must not run on above the side view.
        end = own.end if len(self.tapes) <= LOW_ROW else WIDTH
        room = end - (self._before_kind + kind + own.gap)
        return len(self.pieces) == 1 and text_width(self.pieces[0], TEXT) <= room


def fitted_rows(setting: SettingOut, words: LeafWords, height: float) -> list[RowText]:
    """The rows of every fence, set as loosely as `height` mm allow; tight where they are more."""
    for set_as in ROW_SETTINGS:
        for roomy in (False,) if set_as.pressed else (True, False):
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
    words = replace(words, pressed=set_as.pressed)
    poles = usual_poles(setting)
    jobs = {job.fence: job for job in setting.jobs if job.fence}
    out = []
    settings = {fence.name: fence for fence in setting.fences}
    for number, fence in enumerate(setting.leaf.fences, 1):
        own = settings[fence.name]
        side = words.sides.get(own.comes_from, own.comes_from)
        faces = [f"from the {side}", f"from {shortened(side)}"]
        if own.both_ways:
            faces = [f"both ways, first {said}" for said in faces]
            faces += [] if fence.placed.fence.has_front else ["both ways"]
        tapes: list[tuple[TapeLine, tuple[str, ...]]] = []
        for line in words.tapes(fence, set_as.short, tight=not roomy):
            room = _room_of(line, set_as)
            text, longer = broken(line.text, TEXT, room), broken(line.named, TEXT, room)
            if line.named and len(longer) <= max(len(text), 1 + named):
                text, named = longer, False
            both = _in_one(tapes[-1], line, len(text), set_as) if tapes else None
            if both:
                tapes[-1] = both
            else:
                tapes.append((line, text))
        pieces = equipment_words(equipment_of(fence.placed.fence), poles)
        job = jobs.get(fence.name)
        if setting.after is not None and job is not None:
            begin = f"from the {setting.store_name}"
            if job.old:
                begin = f"old {job.old}, the rest {begin}" if job.rest else f"from old {job.old}"
            if job.first:
                begin = f"take down old {' and '.join(job.first)} first; {begin}"
            pieces = f"{begin}: {pieces}"
        row = RowText(number, fence, tuple(tapes), (), tuple(faces), set_as)
        unsaid = fence.placed.fence.has_front and not row.faces_in_head
        if unsaid:
            pieces = f"{faces[-1]}; {pieces}"
        row = replace(row, pieces=broken(pieces, TEXT, set_as.end))
        # How they come here, and poles of more than one length, are said nowhere else.
        needed = setting.after is not None or poles is None or unsaid
        if set_as.bare and not needed and not row.beside:
            row = replace(row, pieces=())
        out.append(row)
    return out


def _room_of(line: TapeLine, set_as: RowSetting) -> float:
    """Millimetres for the words of a tape, left of its figures."""
    size = LARGE if line.large and not set_as.short else set_as.figure
    room = set_as.end - WORD_WIDTH - text_width(line.figure, size, "bold") - FIGURE_GAP
    if line.small and set_as.small_before:
        room -= text_width(line.small, SMALL) + 2 * FIGURE_GAP
    return room


def _in_one(
    before: tuple[TapeLine, tuple[str, ...]], line: TapeLine, lines: int, set_as: RowSetting
) -> tuple[TapeLine, tuple[str, ...]] | None:
    """Two readings of one tape on one line, where that takes less height than two."""
    first, text = before
    if not (set_as.pressed and first.pair and not line.word) or first.small:
        return None
    both = replace(first, text=first.pair, figure=f"{first.figure}  {line.figure}", pair="")
    said = broken(both.text, TEXT, _room_of(both, set_as))
    more = SECOND_LINE * (len(said) - len(text) - lines + 1)
    return (both, said) if more < set_as.line - 1e-9 else None


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
    rows: Sequence[RowText], setting: SettingOut, left: float, top: float, height: float
) -> Group:
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
        marks += _row(row, setting, left, y, stretch, grown)
        y += row.least + stretch * (len(row.tapes) + 1) + (row.raised if grown else 0.0)
    return Group("rows", tuple(marks))


def _row(
    row: RowText, setting: SettingOut, left: float, top: float, stretch: float, grown: bool
) -> Iterator[Item]:
    fence, own = row.fence, row.set_as
    height = row.least + stretch * (len(row.tapes) + 1) + (row.raised if grown else 0.0)
    yield Stroke(((left, top), (left + WIDTH, top)), RULE)
    beside = own.short and row.beside
    yield from _head(row, left, top + own.top + stretch / 2, row.pieces[0] if beside else "")
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
    room = (WIDTH - own.end - 1.0, base - top - (own.head if beside else 1.0))
    yield from side_view(fence.placed, both, left + WIDTH, base, room, units)


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
    # As in `beside`: what stands beside the name of a low row ends before the side view.
    end = own.end if pieces and len(row.tapes) <= LOW_ROW else WIDTH
    room = left + end - x - (text_width(pieces, TEXT) + own.gap if pieces else 0.0)
    longer = (f"{kind}, {faces}" for faces in row.faces)
    kind = next((said for said in longer if text_width(said, own.kind) <= room), row.least_kind)
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
