"""A page with every mark that a drawing may carry, and what it means.

Fences are shown as an eye right over them sees them: at 1:100, where all parts can be told, and
at 1:400, the smallest scale at which they must still be told apart.
"""

from __future__ import annotations

from collections.abc import Sequence

from diagram.drawing.fences import fence_marks
from diagram.drawing.frame import Frame
from diagram.drawing.track import finish_mark, start_mark
from diagram.exercise.fence import PlacedFence
from diagram.scene import Disc, Fill, Group, Item, Scene, Stroke, Text, moved
from diagram.style import (
    CASING,
    DIMENSION,
    FIGURE,
    HEADING,
    INK,
    LABEL,
    PAPER,
    SMALL,
    SOFT_INK,
    TITLE,
    Pen,
    phase_pen,
)

WIDTH = 190.0
SCALES = ((100, 28.0), (400, 72.0))
"""Denominators, and the middle of their column in mm."""
WORDS_AT = 86.0
HEAD = 24.0
LOWER_ROW = 10.0

SEEN = {
    "vertical": "One plane of poles between two standards; their feet reach along the track.",
    "plank": "As a vertical, the plank drawn thicker than a pole.",
    "wall": "A solid body under the poles, shaded.",
    "gate": "A solid body under the poles, shaded, thinner than a wall.",
    "cross-rail": "Two poles that cross in the middle, each high at one end.",
    "oxer": "Two planes; the spread between them is to scale.",
    "ascending oxer": "As an oxer, higher behind. The dart points the only way to jump it.",
    "triple bar": "Three planes, each higher. The dart points the only way to jump it.",
    "ground pole": "A pole on the ground: no standards.",
    "cavaletti": "A low pole on its own feet.",
}
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
    kind = fence.fence.kind.name
    marks.append(Text((WORDS_AT, middle - 0.8), kind, FIGURE, "bold"))
    marks.append(Text((WORDS_AT, middle + LABEL * 1.1), SEEN.get(kind, ""), SMALL))
    return Group(f"symbol-{kind.replace(' ', '-')}", tuple(marks), f"{kind}: {SEEN.get(kind, '')}")


def _others() -> list[tuple[str, list[Item], str]]:
    first, second = phase_pen(0), phase_pen(1)
    ends = ((-13.0, 0.0), (13.0, 0.0))
    number: list[Item] = [
        Disc((0.0, 0.0), 2.3, fill=PAPER, pen=Pen(first.colour, 0.6)),
        Text((0.0, FIGURE * 0.33), "3", FIGURE, "bold", "middle"),
    ]
    arrow = Fill(((4.2, 0.0), (0.0, 1.5), (0.84, 0.0), (0.0, -1.5)), first.colour)
    slant = ((-6.0, 4.0), (6.0, -4.0))
    return [
        ("track", [Stroke(ends, first), arrow], "The line to ride; each phase has a colour and a "
         "dash of its own. Arrowheads stand where a rider must choose."),
        ("phase", [Stroke(ends, second)], "The second phase."),
        ("crossing", [Stroke(ends, first), Stroke(slant, Pen(PAPER, CASING.width)),
         Stroke(slant, second)], "Where the line crosses itself, the part ridden first is broken."),
        ("slow", [Stroke(ends, Pen(first.colour, 1.9)), Stroke(ends, Pen(PAPER, 1.1))],
         "Walk, trot or halt: an empty line, with a bar where it begins and ends."),
        ("number", number, "The number of a jump, on the side to jump from, in the colour of its "
         "phase."),
        ("start", start_mark((0.0, 0.0)), "Where the ride starts."),
        ("finish", finish_mark((0.0, 0.0)), "Where the ride finishes."),
        ("dart", [Fill(((2.2, 0.0), (0.0, -1.0), (0.0, 1.0)), INK)],
         "Beside a fence: it may be jumped this way only."),
        ("dimension", _dimension(), "A distance from base to base: from the landing side to the "
         "take-off side."),
    ]  # fmt: skip


def _dimension() -> list[Item]:
    heads: list[Item] = [
        Fill(((x, 0.0), (x - s * 2.2, 0.5), (x - s * 2.2, -0.5)), SOFT_INK)
        for x, s in ((-13.0, -1), (13.0, 1))
    ]
    lines: list[Item] = [
        Stroke(points, DIMENSION)
        for points in (
            ((-13.0, 0.0), (-5.0, 0.0)), ((5.0, 0.0), (13.0, 0.0)),
            ((-13.0, -2.0), (-13.0, 1.2)), ((13.0, -2.0), (13.0, 1.2)),
        )
    ]  # fmt: skip
    return [*lines, *heads, Text((0.0, FIGURE * 0.33), "72'", FIGURE, "bold", "middle")]
