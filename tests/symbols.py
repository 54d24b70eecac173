"""A page with every mark that a drawing may carry, and what it means.

Fences are shown as an eye right over them sees them: at 1:100, where all parts can be told, and
at 1:400, the smallest scale at which they must still be told apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from diagram.drawing.beads import disc_marks, square_marks
from diagram.drawing.fences import fence_marks
from diagram.drawing.flags import HOLLOW, INSIDE, start_marks
from diagram.drawing.frame import Frame
from diagram.drawing.ride_words import sample_pen
from diagram.exercise.fence import PlacedFence
from diagram.fences import kinds
from diagram.geometry.pose import Pose
from diagram.pipeline import plan_text
from diagram.scene import Fill, Group, Item, Scene, Stroke, Text, moved
from diagram.style import (
    BAR,
    FIGURE,
    HEADING,
    INK,
    LABEL,
    NUMERAL,
    PAPER,
    SMALL,
    SOFT_INK,
    TICK,
    TITLE,
    TRACK_WIDTH,
    Pen,
)
from diagram.writers import svg

WIDTH = 190.0
SCALES = ((100, 28.0), (400, 72.0))
"""Denominators, and the middle of their column in mm."""
WORDS_AT = 86.0
HEAD = 24.0
LOWER_ROW = 10.0

TAKE_OFF = (
    "All are jumped upwards here. The thin line is the ground line: it lies on the take-off side."
)


def symbol_page(fences: Sequence[PlacedFence]) -> Scene:
    """The page. Each of `fences` stands at the origin, to be jumped upwards."""
    marks: list[Item] = [
        Text((0.0, TITLE), "Marks on the drawings", TITLE, "bold"),
        Text((0.0, TITLE + LABEL * 1.5), TAKE_OFF, LABEL, colour=SOFT_INK),
    ]
    marks += [
        Text((x, HEAD - 2.0), f"1:{denominator}", LABEL, "semibold", "middle")
        for denominator, x in SCALES
    ]
    y = HEAD
    for fence in fences:
        high = 10.0 * fence.fence.depth_m + 16.0
        marks.append(_fence(fence, y + high / 2))
        y += high
    y += 6.0
    marks.append(Text((0.0, y), "Everything else", HEADING, "bold"))
    for name, items, words in _others():
        y += LOWER_ROW
        shifted = [moved(item, 20.0, y) for item in items]
        marks.append(Group(name, (*shifted, Text((WORDS_AT - 40.0, y + 1.0), words, LABEL)), words))
    return Scene(
        WIDTH, y + 10.0, tuple(marks), "Marks on the drawings",
        "Every kind of fence from above at two scales, and the other marks, with their meaning.",
    )  # fmt: skip


def _fence(fence: PlacedFence, middle: float) -> Group:
    marks: list[Item] = []
    for denominator, x in SCALES:
        marks.append(fence_marks(fence, Frame(denominator, x, middle)))
    kind, seen = fence.fence.kind.name, fence.fence.kind.seen
    marks.append(Text((WORDS_AT, middle - 0.8), kind, FIGURE, "bold"))
    marks.append(Text((WORDS_AT, middle + LABEL * 1.1), seen, SMALL))
    return Group(f"symbol-{kind.replace(' ', '-')}", tuple(marks), f"{kind}: {seen}")


def _others() -> list[tuple[str, list[Item], str]]:
    ends = ((-13.0, 0.0), (13.0, 0.0))
    first, second, third = (_line(n) for n in range(3))
    arrow = Fill(((2.3, 0.0), (-2.3, 1.9), (-0.9, 0.0), (-2.3, -1.9)), first.pen.colour)
    walk: list[Item] = [
        Stroke(ends, Pen(first.pen.colour, HOLLOW)),
        Stroke(ends, Pen(PAPER, INSIDE)),
        Stroke(((-13.0, -2.6), (-13.0, 2.6)), BAR),
    ]
    ticks: list[Item] = [first]
    for n, x in enumerate((-6.0, 2.0, 10.0), 1):
        ticks.append(Stroke(((x, -1.6), (x, 1.6)), TICK))
        ticks.append(Text((x, -2.6), str(n), NUMERAL, anchor="middle"))
    slant = Stroke(((-8.0, 3.6), (8.0, -3.6)), Pen(second.pen.colour, TRACK_WIDTH))
    under: list[Item] = [
        Stroke(((-13.0, 0.0), (-4.2, 0.0)), first.pen),
        Stroke(((4.2, 0.0), (13.0, 0.0)), first.pen),
        slant,
    ]
    return [
        ("track", [first, arrow], "The line to ride, and which way."),
        ("phase", [second], "The second phase or round; its discs have a rim in the same pattern."),
        ("third-phase", [third], "The third."),
        ("number", [*disc_marks("3", 0, (0.0, 0.0))], "The number of a jump, before its fence."),
        ("lead", [*square_marks("L", False, (0.0, 0.0))],
         "Behind a fence: land on the left lead, which you came on."),
        ("changed", [*square_marks("R", True, (0.0, 0.0))],
         "Land on the right lead: it is changed over this fence."),
        ("strides", ticks, "Where each stride of a line or bend ends."),
        ("crossing", under, "Where the line crosses itself, what is ridden later runs over."),
        ("slow", walk, "Walk or trot: hollow, with a bar where it begins and ends."),
        ("start", [*start_marks((0.0, 0.0))], "Where the ride starts."),
        ("bar", [first, Stroke(((0.0, -2.6), (0.0, 2.6)), BAR)],
         "A change of gait or of lead is to be through here, or the ride ends."),
        ("dart", [Fill(((2.2, 0.0), (0.0, -1.0), (0.0, 1.0)), INK)],
         "Beside a fence: it may be jumped this way only."),
    ]  # fmt: skip


def _line(phase: int) -> Stroke:
    return Stroke(((-13.0, 0.0), (13.0, 0.0)), sample_pen(phase, 26.0))


SYMBOLS = """\
tapeline: 1
title: Marks
purpose: Every kind of fence.
level: 3'
arena: 60 x 30 m
fences:
{fences}
ride:
  - jump: f0
"""
"""An exercise with one fence of each kind, all at one place: only their symbols are wanted."""


def symbols_svg() -> bytes:
    """The page of all marks as an SVG that carries its type along."""
    fences = "\n".join(
        f"  f{n}: {{kind: {kind.name}, at: [30 m, 15 m], facing: 0°}}"
        for n, kind in enumerate(kind for kind in kinds().values() if kind.seen)
    )
    made = plan_text(SYMBOLS.format(fences=fences), "symbols")
    placed = [fence.fence.at(Pose(0.0, 0.0, math.pi / 2)) for fence in made.fences]
    return svg.scene_bytes(symbol_page(placed))
