"""The checks of the builder's leaf: a row to each length to read when everything stands.

Columns are as wide as what stands in them; what is too long for its column goes on in a second
line, and the row is that much higher.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from diagram.drawing.leaf_rows import SECOND_LINE, broken
from diagram.scene import Item, Stroke, Text
from diagram.stakeout.leaf_words import LeafWords
from diagram.style import BOARD, HAND, INK, LOOKED_UP, Pen, points, text_width

FIGURE = points(15)
HEAD, ROW = 8.0, 6.3
"""Millimetres of the heading, and of a row of one line."""
WORDS, GAP, SMALL_GAP = 7.5, 3.0, 1.0
"""Millimetres from the edge to the words, between columns, from a figure to what goes with it."""
LEAST_OFF = 40.0
"""Millimetres kept for what to do: two words of it and the name of a fence."""
MIDDLE_RULE, THIN = Pen(INK, 0.5), Pen(INK, 0.25)


class _Row(Struct, frozen=True):
    ends: tuple[str, ...]
    figure: str
    small: str
    within: str
    strides: str
    off: tuple[str, ...]

    @property
    def height(self) -> float:
        return ROW + SECOND_LINE * (max(len(self.ends), len(self.off)) - 1)


class Checks(Struct, frozen=True):
    """The rows broken to the width of `columns`: right edge of the figures, then where small
    figures, errors, strides and what to do begin. `limit` is the error that all lines share."""

    rows: tuple[_Row, ...]
    columns: tuple[float, float, float, float, float]
    limit: str

    @property
    def height(self) -> float:
        """Millimetres, the heading with it."""
        return HEAD + sum(row.height for row in self.rows)

    def marks(self, left: float, right: float, top: float) -> Iterator[Item]:
        """Heading and rows from `top` down."""
        yield Text((left, top + 5.4), "Check before a horse goes", BOARD, "semibold")
        if self.limit:
            said = f"a line is right within {self.limit}"
            yield Text((right, top + 5.4), said, HAND, anchor="end")
        y = top + HEAD
        yield Stroke(((left, y), (right, y)), MIDDLE_RULE)
        for row in self.rows:
            yield from self._row(row, left, y)
            y += row.height
            yield Stroke(((left, y), (right, y)), THIN)

    def _row(self, row: _Row, left: float, top: float) -> Iterator[Item]:
        middle = top + row.height / 2
        base = middle + HAND * 0.34
        corners = ((0.3, -2.1), (4.5, -2.1), (4.5, 2.1), (0.3, 2.1))
        box = tuple((left + dx, middle + dy) for dx, dy in corners)
        yield Stroke(box, Pen(INK, 0.5), closed=True)
        end, small, within, strides, off = (left + column for column in self.columns)
        for x, lines in ((left + WORDS, row.ends), (off, row.off)):
            first = base - SECOND_LINE * (len(lines) - 1) / 2
            for n, text in enumerate(lines):
                yield Text((x, first + n * SECOND_LINE), text, HAND)
        yield Text((end, middle + FIGURE * 0.34), row.figure, FIGURE, "bold", "end")
        for x, text, size in (
            (small, row.small, LOOKED_UP), (within, row.within, HAND), (strides, row.strides, HAND),
        ):  # fmt: skip
            if text:
                yield Text((x, base), text, size)


def checks_of(words: LeafWords, width: float) -> Checks:
    """Every line of the ride and what closes the figure, in rows of `width` mm."""
    checks = words.leaf.checks
    limits = {words.within(check.within_m) for check in checks if check.is_line}
    limit = next(iter(limits)) if len(limits) == 1 else ""
    said = [
        (
            words.check_ends(check), words.figure(check.read_m), words.small(check.read_m),
            "" if limit and check.is_line else f"± {words.within(check.within_m)}",
            words.check_strides(check), words.check_off(check),
        )
        for check in checks
    ]  # fmt: skip
    columns = list(zip(*said, strict=True)) or [()] * 6
    ends, offs = _widest(columns[0], HAND), _widest(columns[5], HAND)
    figure = max((text_width(text, FIGURE, "bold") for text in columns[1]), default=0.0)
    small, within, strides = (
        _widest(column, size)
        for column, size in zip(columns[2:5], (LOOKED_UP, HAND, HAND), strict=True)
    )
    after = [wide + gap for wide, gap in ((small, SMALL_GAP), (within, 1.5)) if wide]
    fixed = WORDS + GAP + figure + sum(after) + (strides + GAP if strides else 0.0) + GAP
    ends = min(ends, max(width - fixed - offs, width - fixed - LEAST_OFF))
    end = WORDS + ends + GAP + figure
    at_within = end + (small + SMALL_GAP if small else 0.0) + 1.5
    at_strides = at_within - 1.5 + (within + 1.5 if within else 0.0) + GAP
    at_off = at_strides + (strides + GAP if strides else 0.0)
    # What is left over is shared out, so that columns do not crowd at the left.
    spare = max(0.0, width - at_off - offs) / 3
    rows = tuple(
        _Row(broken(one[0], HAND, ends), *one[1:5], broken(one[5], HAND, width - at_off))
        for one in said
    )
    at = (end + spare, end + spare + SMALL_GAP, at_within + spare, at_strides + 1.5 * spare,
          at_off + 2 * spare)  # fmt: skip
    return Checks(rows, at, limit)


def _widest(texts: tuple[str, ...], size: float) -> float:
    return max((text_width(text, size) for text in texts), default=0.0)
