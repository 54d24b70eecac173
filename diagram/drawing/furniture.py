"""What frames a drawing: the scale bar, the scale in words, and the legend."""

from __future__ import annotations

from diagram.drawing.frame import Frame
from diagram.planning import Plan
from diagram.scene import Disc, Fill, Group, Item, Stroke, Text, moved
from diagram.style import (
    FRAME,
    GROUND_LINE,
    INK,
    LABEL,
    PAPER,
    SMALL,
    SOFT_INK,
    TITLE,
    Pen,
    phase_pen,
    printable,
    text_width,
)
from diagram.units import FOOT, Units, length_text

BAR_HEIGHT = 1.6
STRIP_HEIGHT = 11.0
"""Millimetres kept under the arena for the scale bar and the legend."""


TITLE_HEIGHT = 10.0
CAUTION_HEIGHT = 6.0
CAUTION = (
    "Distances are starting points: footing, slope and the horse in front of you decide. Ride "
    "only with a qualified person in the ring; federation rules prevail."
)


def title_line(plan: Plan, width: float) -> Group:
    """The title over a drawing that stands alone, with its level and horses at the right."""
    level = plan.definition.level
    words = [plan.arena.name]
    if level is not None:
        words.insert(0, f"level {length_text(level, 'both')}")
    title = printable(plan.definition.title).text
    while text_width(title, TITLE, "bold") > width * 0.62 and len(title) > 8:
        title = title[:-2].rstrip() + "…"
    marks = (
        Text((0.0, TITLE), title, TITLE, "bold"),
        Text((width, TITLE), " · ".join(words), LABEL, anchor="end"),
    )
    return Group("title", marks)


def caution_line(width: float, top: float) -> Group:
    """The caution under a drawing that stands alone, in two rows if it must."""
    rows = [CAUTION]
    if text_width(CAUTION, SMALL) > width:
        first, rest = CAUTION.split(". ", 1)
        rows = [first + ".", rest]
    marks = tuple(
        Text((0.0, top + SMALL * (0.9 + 1.15 * n)), row, SMALL, colour=SOFT_INK)
        for n, row in enumerate(rows)
    )
    return Group("caution", marks)


def scale_bar(frame: Frame, left: float, top: float, units: Units) -> Group:
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
    scale = f"scale 1:{frame.denominator:g}"
    marks.append(Text((left + 5 * step + 4, top + BAR_HEIGHT), scale, LABEL, "semibold"))
    return Group("scale-bar", tuple(marks), scale)


def _box(x: float, y: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def legend(plan: Plan, right: float, top: float) -> Group:
    """What lines and marks mean, one row, set from the right edge."""
    entries: list[tuple[float, tuple[Item, ...], str]] = []
    for index, name in enumerate(plan.course.phases):
        line = Stroke(((0.0, 0.0), (11.0, 0.0)), phase_pen(index))
        entries.append((11.0, (line,), name or "the ride"))
    entries.append((3.0, (Disc((1.5, 0.0), 1.5, fill=PAPER, pen=Pen(INK, 0.6)),), "start"))
    square = ((0.0, 0.0), (1.7, -1.7), (3.4, 0.0), (1.7, 1.7))
    entries.append((3.4, (Fill(square, INK),), "finish"))
    entries.append((7.0, (Stroke(((0.0, 0.0), (7.0, 0.0)), GROUND_LINE),), "ground line"))
    marks: list[Item] = []
    x = right
    for width, items, words in reversed(entries):
        x -= text_width(words, LABEL)
        marks.append(Text((x, top + BAR_HEIGHT), words, LABEL))
        x -= width + 1.4
        marks.append(_shifted(Group("", items), x, top + BAR_HEIGHT - LABEL * 0.33))
        x -= 5.0
    return Group("legend", tuple(marks))


def _shifted(group: Group, dx: float, dy: float) -> Group:
    shifted = moved(group, dx, dy)
    assert isinstance(shifted, Group)
    return shifted
