"""A fence from above, to scale: what an eye right over it would see, and nothing else.

Poles and planks are lines across the track, standards short bars set out at their ends,
fillers shaded boxes, ground lines thin lines before the fence. The take-off side is where the
ground line lies; a fence built for one way only also carries a small dart on its landing side.
"""

from __future__ import annotations

from diagram.drawing.frame import Frame
from diagram.exercise.fence import PlacedFence
from diagram.fences.kind import Bar, FillerBox
from diagram.geometry.pose import Point
from diagram.scene import Fill, Group, Item, Stroke
from diagram.style import (
    FENCE_POLE,
    FENCE_STANDARD,
    FILLER,
    GROUND_LINE,
    INK,
    PALE,
    PAPER,
    Pen,
)

PENS: dict[str, Pen] = {
    "pole": FENCE_POLE,
    "low pole": Pen(INK, 0.7),
    "plank": Pen(INK, 1.6),
    "ground line": GROUND_LINE,
}


def fence_marks(placed: PlacedFence, frame: Frame) -> Group:
    """All marks of one fence, in a group that carries its name."""
    parts = placed.fence.parts
    marks: list[Item] = [_ground(placed, frame)]
    marks.extend(_box(placed, box, frame) for box in parts.boxes)
    marks.extend(_bar(placed, bar, frame) for bar in parts.bars)
    for plane in parts.planes:
        marks.extend(standard_marks(placed, plane, frame))
    if one_way(placed):
        marks.append(Fill(dart_outline(placed, frame), INK))
    title = f"{placed.name}: {placed.fence.kind.name}"
    return Group(f"fence-{placed.name.replace(' ', '-')}", tuple(marks), title)


def one_way(placed: PlacedFence) -> bool:
    """Whether the fence is built to be jumped from one side only."""
    return placed.fence.facts.from_behind == "no"


def _ground(placed: PlacedFence, frame: Frame) -> Fill:
    """White ground under a spread, so that the track does not run through its drawing."""
    return Fill(corner_places(placed, placed.fence.depth_m, frame), PAPER, sized="ground")


def corner_places(placed: PlacedFence, depth_m: float, frame: Frame) -> tuple[Point, ...]:
    """The corners of a fence that is so deep, on the paper."""
    half, wide = depth_m / 2, placed.fence.measures.width_m / 2
    corners = ((half, wide), (-half, wide), (-half, -wide), (half, -wide))
    return frame.many(placed.ground(c) for c in corners)


def _bar(placed: PlacedFence, bar: Bar, frame: Frame) -> Stroke:
    ends = (placed.ground(bar.start), placed.ground(bar.end))
    return Stroke(frame.many(ends), PENS[bar.kind], sized="ground")


def _box(placed: PlacedFence, box: FillerBox, frame: Frame) -> Fill:
    (x0, y0), (x1, y1) = box.near, box.far
    corners = [placed.ground(c) for c in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    return Fill(frame.many(corners), PALE, FILLER, sized="ground")


def standard_marks(
    placed: PlacedFence, plane: float, frame: Frame, pen: Pen = FENCE_STANDARD
) -> list[Stroke]:
    """A foot along the track across each end of the poles, no shorter than can be seen."""
    half = placed.fence.measures.width_m / 2
    reach = max(placed.fence.foot_m / 2, frame.metres(FOOT / 2))
    marks: list[Stroke] = []
    for side in (1, -1):
        foot = [(plane - reach, side * half), (plane + reach, side * half)]
        points = frame.many(placed.ground(p) for p in foot)
        marks.append(Stroke(points, pen))
    return marks


FOOT = 2.5
"""Millimetres of a foot across the end of a fence."""


def dart_outline(placed: PlacedFence, frame: Frame) -> tuple[Point, ...]:
    """A dart that points the only way the fence may be jumped, on the left of its middle.

    It begins at the back plane and points on from there: between the poles of a spread it would
    be lost at a small scale. Paper-size.
    """
    back = placed.fence.depth_m / 2 + frame.metres(0.5)
    tip, wide = back + frame.metres(DART_LENGTH), frame.metres(DART_HALF)
    aside = placed.fence.measures.width_m * 0.3
    corners = [(tip, aside), (back, aside + wide), (back, aside - wide)]
    return frame.many(placed.ground(c) for c in corners)


DART_LENGTH, DART_HALF = 2.2, 1.0
