"""The ridden line on paper: phases in colour and dash, the line passed under broken."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from diagram.drawing.arrows import LENGTH, WIDTH, arrow_places
from diagram.drawing.crossings import Over, crossings_on_paper, reach_of_break
from diagram.drawing.frame import Frame
from diagram.drawing.lanes import Lane
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan, PlanLeg
from diagram.ride import Stretch
from diagram.scene import Disc, Fill, Group, Item, Stroke
from diagram.style import CASING, INK, OTHER_PHASE, PAPER, TRACK_WIDTH, Pen, phase_pen

SAGITTA_MM = 0.02
"""Millimetres that a drawn chord may stray from the true curve: less than a thin line's width."""
GATE_TICK = 3.4
SLOW_WIDTH, SLOW_HOLLOW = 1.9, 1.1
START_RADIUS, FINISH_RADIUS = 2.0, 2.2
END_CLEAR = 2.5
"""Millimetres round the marks of start and finish that stay free of words."""


@dataclass(frozen=True, slots=True)
class Laid:
    """The track on one paper: a lane for every leg, the crossings, the arrowheads of each leg."""

    lanes: tuple[Lane, ...]
    overs: tuple[Over, ...]
    arrows: tuple[tuple[Pose, ...], ...]


def lay(plan: Plan, lanes: tuple[Lane, ...], frame: Frame) -> Laid:
    """Work out crossings and arrowheads once for all that need them."""
    overs = crossings_on_paper(plan.legs, lanes, frame)
    return Laid(lanes, overs, tuple(arrow_places(plan.legs, lanes, overs, frame)))


def track_marks(plan: Plan, laid: Laid, frame: Frame, phase: int | None = None) -> Group:
    """All legs in the order ridden, each with its arrowheads and gait marks.

    With a `phase` the legs of all others are only hinted at.
    """
    lanes = laid.lanes
    marks: list[Item] = []
    shown = [phase is None or leg.link.phase == phase for leg in plan.legs]
    for leg, lane, full in zip(plan.legs, lanes, shown, strict=True):
        if not full:
            marks.append(Stroke(drawn_line(leg, lane, frame), OTHER_PHASE, sized="ground"))
    for index, (leg, lane) in enumerate(zip(plan.legs, lanes, strict=True)):
        if shown[index]:
            marks.append(_leg(index, leg, lane, laid, frame))
    marks.extend(end_marks(plan, lanes, frame, phase))
    return Group("track", tuple(marks), "The line to ride")


def _leg(
    index: int,
    leg: PlanLeg,
    lane: Lane,
    laid: Laid,
    frame: Frame,
) -> Group:
    """One leg in parts, so that where it crosses itself the later part lies over the earlier."""
    pen = phase_pen(leg.link.phase)
    mine = [over for over in laid.overs if over.upper == index]
    marks: list[Item] = []
    cuts = [0.0, *_cuts(mine, pen, frame), leg.track_m]
    for begin, end in itertools.pairwise(cuts):
        for over in mine:
            if begin <= over.s_upper < end:
                reach = frame.metres(reach_of_break(over.sine, TRACK_WIDTH, BREAK_GAP))
                low, high = max(0.0, over.s_upper - reach), min(leg.track_m, over.s_upper + reach)
                marks.append(
                    Stroke(
                        frame.many(_outline(leg, lane, low, high, frame)),
                        Pen(CASING.colour, CASING.width),
                        sized="ground",
                    )
                )
        points = frame.many(_outline(leg, lane, begin, end, frame))
        if end == leg.track_m and leg.second is not None:
            points = (*points, _over_fence(leg, lane, frame))
        marks.append(Stroke(points, pen, sized="ground"))
    for stretch in leg.ridden.stretches[1:]:
        marks.extend(_slow(leg, lane, stretch, frame, pen))
    marks.extend(_arrow(pose, frame, pen) for pose in laid.arrows[index])
    return Group(f"leg-{leg.number}", tuple(marks), leg_title(leg))


BREAK_GAP = 0.6
"""Millimetres left free to each side of the line that runs over."""


def _cuts(mine: list[Over], pen: Pen, frame: Frame) -> list[float]:
    """Where a leg that crosses itself is parted, at the end of a dash so that none is torn."""
    step = frame.metres(sum(pen.dash)) if pen.dash else 0.0
    cuts = set()
    for over in mine:
        if over.lower == over.upper:
            early, late = sorted((over.s_lower, over.s_upper))
            middle = (early + late) / 2
            cuts.add(round(middle / step) * step if step else middle)
    return sorted(cuts)


def _over_fence(leg: PlanLeg, lane: Lane, frame: Frame) -> Point:
    assert leg.second is not None
    return frame.at(lane.shifted(leg.second.leave, leg.track_m, frame).point)


def drawn_line(leg: PlanLeg, lane: Lane, frame: Frame) -> tuple[Point, ...]:
    """A leg on the paper, over the fence at its end."""
    points = frame.many(_outline(leg, lane, 0.0, leg.track_m, frame))
    if leg.second is None:
        return points
    return (*points, _over_fence(leg, lane, frame))


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
        points = slow_line(leg, lane, stretch, frame)
        marks.append(Stroke(points, Pen(pen.colour, SLOW_WIDTH), sized="ground"))
        marks.append(Stroke(points, Pen(PAPER, SLOW_HOLLOW), sized="ground"))
    marks.extend(
        _bar_across(lane.shifted(leg.curve.pose_at(s), s, frame), frame)
        for s in sorted({stretch.begin_m, stretch.end_m})
        if 0.1 < s < leg.track_m - 0.1
    )
    return marks


def slow_line(leg: PlanLeg, lane: Lane, stretch: Stretch, frame: Frame) -> tuple[Point, ...]:
    """A stretch of a leg on the paper."""
    return frame.many(_outline(leg, lane, stretch.begin_m, stretch.end_m, frame))


def _bar_across(pose: Pose, frame: Frame) -> Stroke:
    half = frame.metres(GATE_TICK / 2)
    ends = (pose.ahead(0.0, half).point, pose.ahead(0.0, -half).point)
    return Stroke(frame.many(ends), Pen(INK, 0.5))


def _arrow(pose: Pose, frame: Frame, pen: Pen) -> Fill:
    """An arrowhead centred on the track, in the colour of its phase."""
    return Fill(arrow_outline(pose, frame), pen.colour)


def arrow_outline(pose: Pose, frame: Frame) -> tuple[Point, ...]:
    """The corners of an arrowhead."""
    length, half = frame.metres(LENGTH), frame.metres(WIDTH / 2)
    tip, left, right = (
        pose.ahead(length / 2),
        pose.ahead(-length / 2, half),
        pose.ahead(-length / 2, -half),
    )
    notch = pose.ahead(-length * 0.3)
    return frame.many(p.point for p in (tip, left, notch, right))


def phase_ends(
    plan: Plan, lanes: tuple[Lane, ...], frame: Frame, phase: int | None
) -> tuple[Point | None, Point | None]:
    """Where on the paper the ride starts and finishes, each only if the phase shown does."""
    first, last = plan.legs[0], plan.legs[-1]
    begin = lanes[0].shifted(first.curve.start, 0.0, frame)
    end = lanes[-1].shifted(last.curve.end, last.track_m, frame)
    start = frame.at(begin.point) if phase in (None, first.link.phase) else None
    finish = frame.at(end.point) if phase in (None, last.link.phase) else None
    return start, finish


def end_marks(
    plan: Plan, lanes: tuple[Lane, ...], frame: Frame, phase: int | None = None
) -> list[Item]:
    """A ring round a point where the ride starts, a solid square on its corner where it ends."""
    start, finish = phase_ends(plan, lanes, frame, phase)
    return [*(start_mark(start) if start else []), *(finish_mark(finish) if finish else [])]


def start_mark(at: Point) -> list[Item]:
    """A ring round a point."""
    return [
        Disc(at, START_RADIUS, fill=PAPER, pen=Pen(INK, 0.6)),
        Disc(at, START_RADIUS * 0.42, fill=INK),
    ]


def finish_mark(at: Point) -> list[Item]:
    """A square on its corner, solid, in a white edge."""
    x, y = at
    square = tuple(
        (
            x + FINISH_RADIUS * math.cos(n * math.pi / 2),
            y + FINISH_RADIUS * math.sin(n * math.pi / 2),
        )
        for n in range(4)
    )
    return [Fill(square, INK, Pen(PAPER, 0.4))]
