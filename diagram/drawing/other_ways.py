"""Second lines through the same two fences, thin and dotted beside the line of the ride."""

from __future__ import annotations

import math

import numpy as np

from diagram.drawing.crowd import Crowd
from diagram.drawing.frame import Frame
from diagram.drawing.labels import Line, Wish, beside_curve, label_size, text_wish
from diagram.drawing.track import SAGITTA_MM
from diagram.drawing.words import one_unit
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg, SecondWay
from diagram.scene import Group, Stroke
from diagram.style import FIGURE, LABEL, Pen, phase_pen
from diagram.units import Units, length_text

DOTS = (0.3, 1.4)
WIDTH = 0.55
SHARES = np.array((0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74))


def other_way_marks(plan: Plan, frame: Frame, phase: int | None = None) -> Group:
    """The second lines of all legs, or of those of one phase."""
    marks = tuple(
        Stroke(
            _outline(other, frame),
            Pen(phase_pen(leg.link.phase).colour, WIDTH, DOTS),
            sized="ground",
        )
        for leg in plan.legs
        for other in leg.others
        if phase in (None, leg.link.phase) and other.way.curve is not leg.curve
    )
    return Group("other-ways", marks, "Other lines between the same fences")


def _outline(other: SecondWay, frame: Frame) -> tuple[Point, ...]:
    return frame.many(other.way.curve.outline(frame.metres(SAGITTA_MM)))


def crowd_with_other_ways(plan: Plan, frame: Frame, crowd: Crowd) -> None:
    """Keep labels off the second lines; leaders may cross them as they may the track."""
    for leg in plan.legs:
        for other in leg.others:
            crowd.add_line(_outline(other, frame), "track", WIDTH)


def other_way_wishes(
    plan: Plan, frame: Frame, units: Units, phase: int | None = None
) -> list[Wish]:
    """Strides and length of every second line."""
    return [
        _wish(leg, other, frame, units)
        for leg in plan.legs
        for other in leg.others
        if phase in (None, leg.link.phase)
    ]


def _wish(leg: PlanLeg, other: SecondWay, frame: Frame, units: Units) -> Wish:
    curve = other.way.curve
    figure = length_text(curve.length, one_unit(units))
    lines = (Line(f"or {other.strides} strides", FIGURE, "semibold"), Line(figure, LABEL))
    x, y, heading, _ = curve.locate(SHARES * curve.length)
    spots = [
        (frame.at((float(px), float(py))), (-math.sin(theta), -math.cos(theta)), order * 0.5)
        for order, (px, py, theta) in enumerate(zip(x, y, heading, strict=True))
    ]
    places = beside_curve(spots, label_size(lines))
    return text_wish(f"leg-{leg.number}-in-{other.strides}", lines, places)
