"""Second lines between the same fences, where a file gives two counts: thin, dotted, ``or 6``."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from diagram.drawing.candidates import Candidate
from diagram.drawing.frame import Frame
from diagram.drawing.labels import LabelLine, Wish, label_size, text_wish
from diagram.drawing.parts import parts_of
from diagram.planning import Plan, PlanLeg, SecondWay
from diagram.scene import Stroke
from diagram.style import CALLED, FLAG, Pen, phase_pen
from diagram.units import Units, length_text

WAY_SHARES = np.array((0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74))
OTHER_WAY_DOTS = (0.01, 1.6)


def second_ways(plan: Plan, frame: Frame, phase: int | None) -> Iterator[tuple[PlanLeg, Stroke]]:
    """The line of every second count, thin and dotted."""
    parts = parts_of(plan)
    for leg in plan.legs:
        for other in leg.others:
            if phase in (None, parts.of(leg)) and other.way.curve is not leg.curve:
                points = frame.many(other.way.curve.outline(frame.metres(0.02)))
                yield leg, Stroke(points, other_way_pen(parts.of(leg)), sized="ground")


def other_way_pen(phase: int) -> Pen:
    """The dots of a second line, in the colour of its phase."""
    return Pen(phase_pen(phase).colour, 0.7, OTHER_WAY_DOTS, "round")


def second_way_wishes(plan: Plan, frame: Frame, units: Units, phase: int | None) -> list[Wish]:
    """``or 6`` beside every second line, with its length where those of others are said."""
    parts = parts_of(plan)
    return [
        _second(leg, other, frame, units)
        for leg in plan.legs
        for other in leg.others
        if phase in (None, parts.of(leg))
    ]


def _second(leg: PlanLeg, other: SecondWay, frame: Frame, units: Units) -> Wish:
    lines: tuple[LabelLine, ...] = (LabelLine(f"or {other.strides}", CALLED, "bold"),)
    if units != "feet":
        lines += (LabelLine(length_text(other.way.curve.length, units), FLAG),)
    size = label_size(lines)
    x, y, heading, _ = other.way.curve.locate(WAY_SHARES * other.way.curve.length)
    inner = 1.0 if leg.link.way and leg.link.way.left else -1.0
    places = []
    for n, (px, py, theta) in enumerate(zip(x, y, heading, strict=True)):
        at, (nx, ny) = frame.at((float(px), float(py))), frame.across(float(theta))
        half = (abs(nx) * size[0] + abs(ny) * size[1]) / 2
        for gap in (1.4, 3.0, 6.0):
            for side in (inner, -inner):
                far = side * (half + gap)
                centre = (at[0] + nx * far, at[1] + ny * far)
                places.append(Candidate(centre, at, gap + n * 0.3 + (side != inner) * 2.0))
    return text_wish(f"way-{leg.number}-in-{other.strides}", lines, places)
