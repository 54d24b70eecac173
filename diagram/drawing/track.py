"""The ridden line on paper: phases in colour and dash, the later line over the earlier one."""

from __future__ import annotations

import math

import numpy as np

from diagram.drawing.frame import Frame
from diagram.drawing.lanes import Lane
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan, PlanLeg
from diagram.ride import Stretch
from diagram.scene import Disc, Fill, Group, Item, Stroke
from diagram.style import CASING, INK, PAPER, Pen, phase_pen

SAGITTA_MM = 0.02
"""Millimetres that a drawn chord may stray from the true curve: less than a thin line's width."""
ARROW_LENGTH, ARROW_WIDTH = 4.2, 3.0
ARROW_EVERY = 48.0
"""Millimetres of track for each arrowhead."""
NO_ARROW_NEAR = 5.0
GATE_TICK = 3.4
SLOW_WIDTH, SLOW_HOLLOW = 1.9, 1.1


def track_marks(plan: Plan, lanes: tuple[Lane, ...], frame: Frame) -> Group:
    """All legs in the order ridden, each with its crossing, arrowheads and gait marks."""
    marks: list[Item] = [_leg(leg, lane, frame) for leg, lane in zip(plan.legs, lanes, strict=True)]
    marks.extend(_ends(plan, frame))
    return Group("track", tuple(marks), "The line to ride")


def _leg(leg: PlanLeg, lane: Lane, frame: Frame) -> Group:
    points = drawn_line(leg, lane, frame)
    pen = phase_pen(leg.link.phase)
    marks: list[Item] = [
        Stroke(points, Pen(CASING.colour, CASING.width), sized="ground"),
        Stroke(points, pen, sized="ground"),
    ]
    for stretch in leg.ridden.stretches[1:]:
        marks.extend(_slow(leg, lane, stretch, frame, pen))
    marks.extend(_arrows(leg, lane, frame, pen))
    return Group(f"leg-{leg.number}", tuple(marks), leg_title(leg))


def drawn_line(leg: PlanLeg, lane: Lane, frame: Frame) -> tuple[Point, ...]:
    """A leg on the paper, over the fence at its end."""
    points = frame.many(_outline(leg, lane, 0.0, leg.track_m, frame))
    if leg.second is None:
        return points
    return (*points, frame.at(lane.shifted(leg.second.leave, leg.track_m, frame).point))


def _outline(leg: PlanLeg, lane: Lane, begin: float, end: float, frame: Frame) -> Floats:
    """Places along a stretch of a leg, moved aside where another leg was drawn before."""
    if not lane.aside.any():
        return leg.curve.part(begin, end).outline(frame.metres(SAGITTA_MM))
    inside = lane.s[(lane.s > begin) & (lane.s < end)]
    s = np.concatenate([[begin], inside, [end]])
    x, y, heading, _ = leg.curve.locate(s)
    aside = np.interp(s, lane.s, lane.aside) / frame.mm_per_m
    return np.stack([x + aside * np.sin(heading), y - aside * np.cos(heading)], axis=1)


def leg_title(leg: PlanLeg) -> str:
    """``leg 2: birch to hazel``."""
    first = leg.first.jump.fence if leg.first else "start"
    second = leg.second.jump.fence if leg.second else "finish"
    return f"leg {leg.number}: {first} to {second}"


def _slow(leg: PlanLeg, lane: Lane, stretch: Stretch, frame: Frame, pen: Pen) -> list[Item]:
    """A stretch in walk or trot is drawn hollow, with a bar where it begins and ends."""
    if stretch.gait == "canter":
        return []
    marks: list[Item] = []
    if stretch.end_m > stretch.begin_m:
        points = frame.many(_outline(leg, lane, stretch.begin_m, stretch.end_m, frame))
        marks.append(Stroke(points, Pen(pen.colour, SLOW_WIDTH), sized="ground"))
        marks.append(Stroke(points, Pen(PAPER, SLOW_HOLLOW), sized="ground"))
    for s in {stretch.begin_m, stretch.end_m}:
        if 0.1 < s < leg.track_m - 0.1 or leg.second is None:
            marks.append(_bar_across(lane.shifted(leg.curve.pose_at(s), s, frame), frame))
    return sorted(marks, key=lambda mark: isinstance(mark, Stroke) and mark.pen.colour == INK)


def _bar_across(pose: Pose, frame: Frame) -> Stroke:
    half = frame.metres(GATE_TICK / 2)
    ends = (pose.ahead(0.0, half).point, pose.ahead(0.0, -half).point)
    return Stroke(frame.many(ends), Pen(INK, 0.5))


def _arrows(leg: PlanLeg, lane: Lane, frame: Frame, pen: Pen) -> list[Item]:
    length = frame.mm(leg.track_m)
    free = length - 2 * NO_ARROW_NEAR
    if free < 0:
        return [] if leg.link.inner else [_arrow(leg.curve.pose_at(leg.track_m / 2), frame, pen)]
    count = max(1, round(length / ARROW_EVERY))
    places = [NO_ARROW_NEAR + free * (n + 0.5) / count for n in range(count)]
    slow = [s for s in leg.ridden.stretches if s.gait != "canter" and s.end_m < leg.track_m]
    out: list[Item] = []
    for place in places:
        s = frame.metres(place)
        for stretch in slow:
            if stretch.begin_m - frame.metres(4) < s < stretch.end_m + frame.metres(4):
                s = stretch.begin_m - frame.metres(6)
        s = max(s, frame.metres(2))
        out.append(_arrow(lane.shifted(leg.curve.pose_at(s), s, frame), frame, pen))
    return out


def _arrow(pose: Pose, frame: Frame, pen: Pen) -> Fill:
    """An arrowhead centred on the track, in the colour of its phase."""
    length, half = frame.metres(ARROW_LENGTH), frame.metres(ARROW_WIDTH / 2)
    tip, left, right = (
        pose.ahead(length / 2),
        pose.ahead(-length / 2, half),
        pose.ahead(-length / 2, -half),
    )
    notch = pose.ahead(-length * 0.3)
    points = frame.many(p.point for p in (tip, left, notch, right))
    return Fill(points, pen.colour)


def _ends(plan: Plan, frame: Frame) -> list[Item]:
    """A ring where the ride starts, a solid square on its corner where it finishes."""
    start, finish = plan.legs[0].curve.start, plan.legs[-1].curve.end
    x, y = frame.at(finish.point)
    r = 1.7
    turn = -finish.heading
    square = tuple(
        (x + r * math.cos(turn + n * math.pi / 2), y + r * math.sin(turn + n * math.pi / 2))
        for n in range(4)
    )
    return [
        Disc(frame.at(start.point), 1.5, fill=PAPER, pen=Pen(INK, 0.6)),
        Fill(square, INK, Pen(PAPER, 0.3)),
    ]
