"""The debug layer: every place that was looked at for a label, and what spoke against it.

Places refused are thin boxes, the one taken is a thick one. The reason stands in the title of
each box, which a browser shows under the pointer, and beside the box where there is room.
"""

from __future__ import annotations

from collections.abc import Iterable

from diagram.drawing.labels import Label, Tried, Unplaced
from diagram.drawing.setting_crowd import corners_of
from diagram.scene import Box, Fill, Group, Item, Stroke, Text
from diagram.style import OKABE_ITO, PAPER, SMALL, Colour, Pen

TAKEN: Colour = OKABE_ITO["bluish green"]
REFUSED: Colour = OKABE_ITO["vermillion"]
MOST_SHOWN = 40
"""Places shown of one label: the first ones tell why."""


def why_marks(labels: Iterable[Label], unplaced: Iterable[Unplaced]) -> Group:
    """The layer, over everything else."""
    groups = [_of(label.name, label.place.tried) for label in labels]
    groups += [_of(f"{label.name} (not placed)", label.tried) for label in unplaced]
    return Group("why", tuple(groups), "Places looked at for each label")


def _of(name: str, tried: tuple[Tried, ...]) -> Group:
    marks: list[Item] = []
    for n, place in enumerate(tried[:MOST_SHOWN], 1):
        refused = bool(place.reason) and not place.reason.startswith("moved by hand")
        pen = Pen(REFUSED, 0.13) if refused else Pen(TAKEN, 0.35)
        title = f"{name}, place {n}: {place.reason or 'free, taken'}"
        children: list[Item] = [Stroke(corners_of(place.box), pen, closed=True)]
        if not refused:
            children += _tag(place.box, f"{n}")
        marks.append(Group("tried", tuple(children), title))
    return Group(f"why-{name}", tuple(marks), _summary(name, tried))


def _summary(name: str, tried: tuple[Tried, ...]) -> str:
    """``leg-2: 7 places looked at; track 4, fence 2``."""
    counts: dict[str, int] = {}
    for place in tried:
        if place.reason:
            counts[place.reason] = counts.get(place.reason, 0) + 1
    reasons = ", ".join(f"{reason} {count}" for reason, count in sorted(counts.items()))
    return f"{name}: {len(tried)} places looked at" + (f"; {reasons}" if reasons else "")


def why_text(labels: Iterable[Label], unplaced: Iterable[Unplaced]) -> str:
    """One line for each label: how many places were looked at and what spoke against them."""
    lines = [_summary(label.name, label.place.tried) for label in labels]
    lines += [_summary(f"{label.name} (not placed)", label.tried) for label in unplaced]
    return "\n".join(lines)


def _tag(box: Box, text: str) -> list[Item]:
    """How many places were looked at, in the corner of the one taken."""
    x, y = box.right, box.top
    words = Text((x + 0.2, y + SMALL * 0.4), text, SMALL, colour=TAKEN)
    around = words.bbox()
    return [Fill(corners_of(around.grown(0.2)), PAPER), words]
