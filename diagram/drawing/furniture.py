"""What frames a drawing: the scale bar, the scale in words, and the legend."""

from __future__ import annotations

from collections.abc import Sequence

from diagram.drawing.frame import Frame
from diagram.drawing.labels import Unplaced
from diagram.drawing.strides import stride_entries
from diagram.planning import Plan
from diagram.scene import Disc, Fill, Group, Item, Stroke, Text, moved
from diagram.style import (
    FRAME,
    GROUND_LINE,
    HEADING,
    INK,
    LABEL,
    PAPER,
    SMALL,
    SOFT_INK,
    TITLE,
    Pen,
    Weight,
    phase_pen,
    printable,
    text_width,
)
from diagram.units import FOOT, Units, length_text

BAR_HEIGHT = 1.6
STRIP_HEIGHT = 11.0
"""Millimetres kept under the arena for the scale bar and the legend."""


TITLE_HEIGHT = 10.0
CAUTION = (
    "Distances are starting points: footing, slope and the horse in front of you decide. Ride "
    "only with a qualified person in the ring; federation rules prevail."
)


NARROW = 120.0
"""Millimetres of width below which the title is set smaller, with its facts on a second row."""


def title_line(plan: Plan, width: float) -> Group:
    """The title over a drawing that stands alone, with its level and arena at the right."""
    level = plan.definition.level
    facts = [plan.arena.name]
    if level is not None:
        facts.insert(0, f"level {length_text(level, 'both')}")
    words = printable(" · ".join(facts)).text
    title = plan.definition.title
    if width < NARROW:
        rows = (
            Text((0.0, HEADING), cut(title, width, HEADING, "bold"), HEADING, "bold"),
            Text((0.0, HEADING + SMALL * 1.3), cut(words, width, SMALL), SMALL),
        )
        return Group("title", rows)
    room = width - text_width(words, LABEL) - 6.0
    marks = (
        Text((0.0, TITLE), cut(title, max(room, width * 0.5), TITLE, "bold"), TITLE, "bold"),
        Text((width, TITLE), cut(words, width * 0.45, LABEL), LABEL, anchor="end"),
    )
    return Group("title", marks)


def cut(text: str, width: float, size: float, weight: Weight = "regular") -> str:
    """`text` as it can be printed in `width` mm, with an ellipsis for what is left off."""
    shown = printable(text).text
    if text_width(shown, size, weight) <= width:
        return shown
    while shown and text_width(f"{shown}…", size, weight) > width:
        shown = shown[:-1]
    return f"{shown.rstrip()}…"


def wrapped(text: str, width: float, size: float) -> list[str]:
    """`text` in rows of at most `width` mm, parted between words."""
    rows: list[str] = []
    for word in printable(text).text.split(" "):
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and text_width(longer, size) <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def caution_height(width: float) -> float:
    """Millimetres that the caution takes under a drawing."""
    return 1.0 + len(wrapped(CAUTION, width, SMALL)) * SMALL * 1.2


def caution_line(width: float, top: float) -> Group:
    """The caution under a drawing that stands alone, in as many rows as it needs."""
    marks = tuple(
        Text((0.0, top + SMALL * (0.9 + 1.2 * n)), row, SMALL, colour=SOFT_INK)
        for n, row in enumerate(wrapped(CAUTION, width, SMALL))
    )
    return Group("caution", marks)


def scale_bar(
    frame: Frame, left: float, top: float, units: Units, stated: float | None = None
) -> Group:
    """A bar of round metres (and feet) to lay a ruler on, with the scale in words."""
    metres = next((m for m in (10, 5, 20) if 25 <= frame.mm(m) <= 70), 10)
    marks: list[Item] = []
    step = frame.mm(metres) / 5
    for n in range(5):
        corners = _box(left + n * step, top, step, BAR_HEIGHT)
        marks.append(Fill(corners, INK if n % 2 == 0 else PAPER, FRAME, sized="ground"))
    words = f"{metres} m"
    if units != "metres":
        words += f" = {metres / FOOT:.1f} ft"
    marks.append(Text((left, top + BAR_HEIGHT + 3.2), "0", SMALL, anchor="middle"))
    marks.append(Text((left + 5 * step, top + BAR_HEIGHT + 3.2), words, SMALL, anchor="middle"))
    scale = f"scale 1:{stated or frame.denominator:g}"
    marks.append(Text((left + 5 * step + 4, top + BAR_HEIGHT), scale, LABEL, "semibold"))
    return Group("scale-bar", tuple(marks), scale)


def _box(x: float, y: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


Entry = tuple[float, tuple[Item, ...], str]
"""Width in mm of the sample, its marks round the origin, and what it means."""

ROW_HEIGHT = 4.6
BESIDE_BAR = 95.0
"""Millimetres from the left edge that the scale bar and its words take."""
LEAST_BESIDE = 100.0
"""With less than this left beside the bar, the legend goes below it."""


def legend_entries(plan: Plan) -> list[Entry]:
    """What lines and marks mean, each that occurs."""
    entries: list[Entry] = []
    for index, name in enumerate(plan.course.phases or ("",)):
        line = Stroke(((0.0, 0.0), (13.0, 0.0)), phase_pen(index))
        entries.append((13.0, (line,), cut(name or "the ride", LONGEST_PHASE, LABEL)))
    slow = {s.gait for leg in plan.legs for s in leg.ridden.stretches[1:] if s.gait != "canter"}
    if slow:
        pen = phase_pen(0)
        ends = ((0.0, 0.0), (7.0, 0.0))
        hollow = (Stroke(ends, Pen(pen.colour, 1.9)), Stroke(ends, Pen(PAPER, 1.1)))
        entries.append((7.0, hollow, " or ".join(sorted(slow))))
    numbered: tuple[Item, ...] = (
        Disc((2.3, 0.0), 2.0, fill=PAPER, pen=Pen(INK, 0.5)),
        Text((2.3, LABEL * 0.33), "1", LABEL, "bold", "middle"),
    )
    entries.append((4.6, numbered, NUMBERED))
    if any(bar.kind == "ground line" for f in plan.fences for bar in f.fence.parts.bars):
        entries.append((7.0, (Stroke(((0.0, 0.0), (7.0, 0.0)), GROUND_LINE),), "ground line"))
    if any(fence.fence.facts.from_behind == "no" for fence in plan.fences):
        dart = ((3.0, 0.0), (0.0, -1.1), (0.0, 1.1))
        entries.append((3.0, (Fill(dart, INK),), "only this way"))
    return entries + stride_entries(plan)


LONGEST_PHASE = 42.0
"""Millimetres of a phase's name in the legend."""
NUMBERED = "number on the side to jump from"


def legend_rows(plan: Plan, width: float) -> list[list[Entry]]:
    """The entries in as many rows as they need; the first row stands beside the scale bar."""
    beside = width - BESIDE_BAR
    rows: list[list[Entry]] = [[]]
    room = beside if beside >= LEAST_BESIDE else 0.0
    for entry in legend_entries(plan):
        wide = _entry_width(entry)
        if wide > room:
            rows.append([])
            room = width if len(rows) > 2 or beside < LEAST_BESIDE else beside
        rows[-1].append(entry)
        room -= wide
    return rows


def _entry_width(entry: Entry) -> float:
    return entry[0] + SAMPLE_GAP + text_width(entry[2], LABEL) + ENTRY_GAP


SAMPLE_GAP, ENTRY_GAP = 1.4, 5.0


def strip_height(rows: list[list[Entry]]) -> float:
    """Millimetres that the scale bar and so many rows of legend take under the arena."""
    return STRIP_HEIGHT + ROW_HEIGHT * (len(rows) - 1)


def strip(
    frame: Frame,
    rows: list[list[Entry]],
    left: float,
    right: float,
    top: float,
    units: Units,
    stated: float | None = None,
) -> tuple[Group, Group]:
    """The scale bar and the legend, from `top` down."""
    marks: list[Item] = []
    for n, row in enumerate(rows):
        x = right - sum(map(_entry_width, row)) + ENTRY_GAP
        base = top + BAR_HEIGHT + (n if rows[0] else n + 0.6) * ROW_HEIGHT
        if not rows[0]:
            x = left
        for entry in row:
            width, items, words = entry
            marks.append(_shifted(Group("", items), x, base - LABEL * 0.33))
            marks.append(Text((x + width + SAMPLE_GAP, base), words, LABEL))
            x += _entry_width(entry)
    return scale_bar(frame, left, top, units, stated), Group("legend", tuple(marks))


CAPTION_HEIGHT = 5.0


def caption(plan: Plan, phase: int, frame: Frame, width: float, top: float) -> Group:
    """Under a small drawing: the line of its phase, its name and the scale, in the middle."""
    name = plan.course.phases[phase] if plan.course.phases else ""
    scale = f"1:{frame.denominator:g}"
    words = cut(f"{name or 'the ride'}, {scale}", width - 18.0, LABEL, "semibold")
    wide = 13.0 + SAMPLE_GAP + text_width(words, LABEL, "semibold")
    x, y = (width - wide) / 2, top + LABEL
    line = Stroke(((x, y - LABEL * 0.33), (x + 13.0, y - LABEL * 0.33)), phase_pen(phase))
    text = Text((x + 13.0 + SAMPLE_GAP, y), words, LABEL, "semibold")
    return Group("caption", (line, text), words)


def leftovers_height(unplaced: Sequence[Unplaced], width: float) -> float:
    """Millimetres that the list of what found no place takes."""
    return len(_leftover_lines(unplaced, width)) * SMALL * 1.25 + 1.0 if unplaced else 0.0


def _leftover_lines(unplaced: Sequence[Unplaced], width: float) -> list[str]:
    said = "; ".join(label.says for label in unplaced)
    return wrapped(f"{NO_ROOM} {said}", width - 2 * EDGE, SMALL)


NO_ROOM = "No room on the drawing for:"
EDGE = 8.0


def leftovers(
    unplaced: Sequence[Unplaced], left: float, width: float, top: float
) -> tuple[Group, ...]:
    """What found no place on the drawing, in words under it."""
    if not unplaced:
        return ()
    rows = _leftover_lines(unplaced, width)
    marks = tuple(
        Text((left, top + SMALL * (1 + 1.25 * n)), row, SMALL) for n, row in enumerate(rows)
    )
    return (Group("leftovers", marks),)


def _shifted(group: Group, dx: float, dy: float) -> Group:
    shifted = moved(group, dx, dy)
    assert isinstance(shifted, Group)
    return shifted
