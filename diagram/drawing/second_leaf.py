"""The second leaf: each foot by two tapes, and along a side and out from it. It checks the first.

A crossing with a reading over the tape's length is not printed: it cannot be pulled.
"""

from __future__ import annotations

from collections.abc import Iterator

from diagram.diagnostics import Severity
from diagram.drawing.furniture import NO_SUBSTITUTE, STOPPED, cut
from diagram.drawing.leaf_rows import broken
from diagram.scene import Item, Scene, Stroke, Text
from diagram.stakeout.leaf_marks import marks_of_check, marks_of_ride
from diagram.stakeout.leaf_words import LeafWords, shortened, words_for
from diagram.stakeout.setting import FenceSetting, FootSetting, SettingOut
from diagram.style import INK, Pen, Weight, points, text_width

TITLE, HEAD, FIGURE, HAND, SMALL = (points(size) for size in (20, 12, 12, 10.5, 8.5))
TOP, FOOT, ROW, LINE = 15.0, 5.0, 5.6, 3.9
SECOND_LINE = 3.1
"""Millimetres that a row is higher for a second line of small type."""
LOOSE_ROW, LOOSE_LINE = 7.6, 4.7
"""Rows and lines of text where all fits on one page so; the type is larger then."""
RULE, THIN = Pen(INK, 0.7), Pen(INK, 0.25)

COLUMNS = (
    ("fence, standard", 0.0), ("tape 1 from", 0.125), ("reads", 0.325), ("tape 2 from", 0.335),
    ("reads", 0.52), ("nearer to", 0.53), ("within", 0.645), ("along", 0.655), ("reads", 0.855),
    ("out", 0.943), ("within", 1.0),
)  # fmt: skip
"""Heads and places as shares of the width; figures end there, words begin."""

FIGURES = ("reads", "out", "within")


def second_leaf(
    setting: SettingOut, cautions: tuple[str, ...], width: float, height: float
) -> tuple[Scene, ...]:
    """Pages of `width` by `height` mm: the feet, what the checks found, and the cautions."""
    words = words_for(setting.plan, setting.leaf, setting.crew)
    called = _called(setting, words)
    left = [row for fence in setting.fences for row in _rows(fence, words, called)]
    notes = [(text, weight) for text, weight in _notes(setting, words)]
    every = [(f"Every time: {' '.join(cautions)}", "regular")]
    for size, tall, line_tall in ((HAND, LOOSE_ROW, LOOSE_LINE), (SMALL, ROW, LINE)):
        closing = [
            (text, weight)
            for said, weight in [*notes, *every]
            for text in broken(said, size, width)
        ]
        rows = sum(_tall(row, width, size, tall) for row in left)
        if TOP + 9.0 + rows + len(closing) * line_tall <= height - FOOT:
            break
    pages: list[Scene] = []
    while left or closing or not pages:
        marks: list[Item] = list(_head(setting, width, bool(pages)))
        y = TOP
        if left:
            marks += _heads(width, y, size)
            y += 5.0
            top = y
            while left:
                high = _tall(left[0], width, size, tall)
                if y > top and y + high > height - FOOT:
                    break
                marks += _row(left.pop(0), width, y, size, high)
                y += high
        y += 4.0
        while closing and not left and y < height - FOOT:
            text, weight = closing.pop(0)
            marks.append(Text((0.0, y), text, size, weight))  # type: ignore[arg-type]
            y += line_tall
        marks += _foot(width, height)
        title = f"Second leaf: {setting.plan.title}"
        pages.append(Scene(width, height, tuple(marks), title, "Each foot by two tapes.", "en"))
    return tuple(pages)


def _head(setting: SettingOut, width: float, more: bool) -> Iterator[Item]:
    right = "second leaf, continued: the check" if more else "second leaf: the check"
    room = width - text_width(right, HEAD) - 6.0
    title = cut(setting.plan.title, room, TITLE)
    yield Text((0.0, 5.6), title, TITLE, "bold")
    yield Text((width, 5.6), right, HEAD, anchor="end")
    said = "Bold: the better way to each foot. Two tapes meet in two places: take the named one."
    stopped = any(f.severity is Severity.STOP for f in setting.plan.findings)
    said = f"{STOPPED} {said}" if stopped else said
    yield Text((0.0, 11.2), cut(said, width, HAND), HAND, "semibold" if stopped else "regular")


def _heads(width: float, y: float, size: float) -> Iterator[Item]:
    for head, share in COLUMNS:
        anchor = "end" if head in FIGURES else "start"
        yield Text((share * width, y + 2.5), head, size, "semibold", anchor)  # type: ignore[arg-type]
    yield Stroke(((0.0, y + 4.2), (width, y + 4.2)), RULE)


Cell = tuple[str, Weight, str]
"""What stands in a column, its weight, and below a figure the same in the other unit."""
Cells = tuple[Cell, ...]


def _called(setting: SettingOut, words: LeafWords) -> dict[str, str]:
    """Every foot in front, by its name, as the leaf calls it: by the side that it points to."""
    return {
        foot.ways.foot.name: _of_side(fence, foot, words)
        for fence in setting.fences
        for foot in fence.feet[:2]
    }


def _of_side(fence: FenceSetting, foot: FootSetting, words: LeafWords) -> str:
    return f"{fence.name}, {shortened(words.sides[foot.side])}"


def _rows(fence: FenceSetting, words: LeafWords, called: dict[str, str]) -> Iterator[Cells]:
    """The two feet of the front row; the back row stands the spread behind it."""
    for foot in fence.feet[:2]:
        yield tuple(_cells(fence, foot, words, called))


def _cells(
    fence: FenceSetting, foot: FootSetting, words: LeafWords, called: dict[str, str]
) -> Iterator[Cell]:
    ways = foot.ways
    tapes: Weight = "bold" if ways.best == "tapes" else "regular"
    offset: Weight = "bold" if ways.best == "offset" else "regular"
    yield _of_side(fence, foot, words), "semibold", ""
    if foot.tapes_reach:
        for name, metres in zip((ways.tapes.first, ways.tapes.second), foot.tapes, strict=True):
            yield called.get(name) or words.mark(name, short=True), "regular", ""
            yield words.figure(metres), tapes, words.small(metres)
        yield words.sides.get(ways.tapes.towards, ways.tapes.towards), "regular", ""
        yield words.within(foot.tapes_within_m), tapes, ""
    else:
        yield "no two marks within a tape", "regular", ""
        yield from (("", "regular", ""),) * 5
    if ways.offset is None or foot.offset is None:
        yield "no square", "regular", ""
        yield from (("", "regular", ""),) * 3
        return
    # As on the leaf: “wood side, in-gate end” is the corner where the two meet.
    zero = ways.offset.zero.removeprefix("corner ").split(" / ")
    corner = words.sides[zero[1] if zero[0] == ways.offset.side else zero[0]]
    yield f"{words.sides[ways.offset.side]}, {corner}", "regular", ""
    for metres in foot.offset:
        yield words.pieces(metres), offset, words.small(metres)
    yield words.within(foot.offset_within_m), offset, ""


def _said(n: int, cells: Cells, width: float, small: float) -> tuple[tuple[str, ...], float]:
    """The lines of a cell and their size: words that are too long first smaller, then in two; as
    much narrower as the figure that stands beside them is wide."""
    (head, share), (text, weight, *_) = COLUMNS[n], cells[n]
    taken = 0.0
    if n in (1, 3, 7):
        taken = max(17.0, text_width(cells[n + 1][0], FIGURE, cells[n + 1][1]) + 2.0)
    size = FIGURE if head in ("reads", "out") else small if n else HAND
    end = next((s for _, s in COLUMNS[n + 1 :]), 1.0)
    room = (end - share) * width - taken - 1.0
    if head in FIGURES or text_width(text, size, weight) <= room:
        return (text,), size
    # Semibold is a little wider than the type that lines are broken for.
    lines = broken(text, SMALL, room * 0.96)
    return tuple(cut(line, room, SMALL, weight) for line in lines), SMALL


def _tall(cells: Cells, width: float, small: float, tall: float) -> float:
    """Millimetres of a row: higher where something in it takes two lines."""
    lines = max(len(_said(n, cells, width, small)[0]) for n in range(len(cells)))
    more = max(lines - 1, any(below for _, _, below in cells))
    return max(tall, ROW + SECOND_LINE * more)


def _row(cells: Cells, width: float, y: float, small: float, tall: float) -> Iterator[Item]:
    for n, ((head, share), cell) in enumerate(zip(COLUMNS, cells, strict=True)):
        lines, size = _said(n, cells, width, small)
        _, weight, below = cell
        anchor = "end" if head in FIGURES else "start"
        count = len(lines) - 1 + bool(below)
        base = y + tall / 2 + size * 0.34 - count * SECOND_LINE / 2
        for m, line in enumerate(lines):
            at = (share * width, base + m * SECOND_LINE)
            yield Text(at, line, size, weight, anchor)  # type: ignore[arg-type]
        if below:
            yield Text((share * width, base + SECOND_LINE), below, SMALL, anchor="end")
    yield Stroke(((0.0, y + tall), (width, y + tall)), THIN)


def _notes(setting: SettingOut, words: LeafWords) -> Iterator[tuple[str, Weight]]:
    """How to read the table, the right angle, what the checks found."""
    crew = setting.crew
    a, b, c = (words.figure(side) for side in crew.triangle)
    yield (
        f"A right angle off a side: {a} along it, {b} out, {c} across between the ends. “Within” "
        "holds in 95 of 100, rounding and the right angle included. Back rows stand the spread "
        "behind the front row. A reading off by more than its “within” means a misread tape.",
        "regular",
    )
    if marks := marks_of_check(setting, words):
        yield f"Marks that tapes are held to: {marks}.", "regular"
    if ride := marks_of_ride(words):
        yield f"The ride: {ride}.", "regular"
    for finding in setting.plan.findings:
        if finding.severity in (Severity.STOP, Severity.CAUTION):
            yield f"{finding.severity.value}: {finding.message}", "semibold"


def _foot(width: float, height: float) -> Iterator[Item]:
    yield Stroke(((0.0, height - FOOT), (width, height - FOOT)), THIN)
    yield Text((width, height - 0.6), NO_SUBSTITUTE, SMALL, "semibold", "end")
