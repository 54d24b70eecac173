"""Second lines through the same two fences, thin and dotted beside the line of the ride."""

from __future__ import annotations

import math

import numpy as np

from diagram.drawing.crowd import Crowd
from diagram.drawing.frame import Frame
from diagram.drawing.labels import Label, Line, beside_curve, label_size, text_label
from diagram.drawing.track import SAGITTA_MM
from diagram.planning import Plan, PlanLeg, SecondWay
from diagram.scene import Group, Stroke
from diagram.style import FIGURE, LABEL, Pen, phase_pen
from diagram.units import Units, length_text

DOTS = (0.3, 1.4)
WIDTH = 0.55
SHARES = np.array((0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74))


def other_way_marks(plan: Plan, frame: Frame) -> Group:
    """The second lines of all legs."""
    marks = tuple(
        Stroke(
            frame.many(other.way.curve.outline(frame.metres(SAGITTA_MM))),
            Pen(phase_pen(leg.link.phase).colour, WIDTH, DOTS),
            sized="ground",
        )
        for leg in plan.legs
        for other in leg.others
    )
    return Group("other-ways", marks, "Other lines between the same fences")


def other_way_labels(plan: Plan, frame: Frame, crowd: Crowd, units: Units) -> list[Label]:
    """Strides and length of every second line."""
    return [_label(leg, other, frame, crowd, units) for leg in plan.legs for other in leg.others]


def _label(leg: PlanLeg, other: SecondWay, frame: Frame, crowd: Crowd, units: Units) -> Label:
    curve = other.way.curve
    figure = length_text(curve.length, "feet" if units == "both" else units)
    lines = (Line(f"or {other.strides} strides", FIGURE, "semibold"), Line(figure, LABEL))
    x, y, heading, _ = curve.locate(SHARES * curve.length)
    spots = [
        (frame.at((float(px), float(py))), (-math.sin(theta), -math.cos(theta)), order * 0.5)
        for order, (px, py, theta) in enumerate(zip(x, y, heading, strict=True))
    ]
    places = beside_curve(spots, label_size(lines))
    return text_label(f"leg-{leg.number}-in-{other.strides}", lines, places, crowd)
