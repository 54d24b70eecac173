"""What frames a drawing: the scale bar, the scale in words, and the legend."""

from __future__ import annotations

from diagram.drawing.frame import Frame
from diagram.plan import Plan
from diagram.scene import Disc, Fill, Group, Item, Stroke, Text
from diagram.style import (
    FRAME,
    GROUND_LINE,
    INK,
    LABEL,
    PAPER,
    SMALL,
    Pen,
    phase_pen,
    text_width,
)
from diagram.units import FOOT, Units

BAR_HEIGHT = 1.6
STRIP_HEIGHT = 11.0
"""Millimetres kept under the arena for the scale bar and the legend."""


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
    from diagram.scene import moved

    shifted = moved(group, dx, dy)
    assert isinstance(shifted, Group)
    return shifted
