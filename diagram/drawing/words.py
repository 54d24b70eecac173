"""What is written on the drawing: numbers and names of fences, and the distances of legs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from diagram.drawing.crowd import Crowd
from diagram.drawing.frame import Frame
from diagram.drawing.labels import (
    Candidate,
    Label,
    Line,
    around_point,
    beside_curve,
    choose_place,
    label_size,
    text_label,
)
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.geometry.region import segment_distances
from diagram.layout.fence import PlacedFence
from diagram.planning import Plan, PlanLeg
from diagram.ride import Stretch
from diagram.scene import Disc, Group, Text
from diagram.style import FIGURE, LABEL, PAPER, SMALL, SOFT_INK, Pen, phase_pen, text_width
from diagram.track import Crossing
from diagram.units import Units, length_text

Spot = tuple[Point, Point, float]
"""A place on the paper, the unit vector across the line there, and what it costs."""

NUMBER_RADIUS = 2.3
MIDDLE_FIRST = (0.5, 0.44, 0.56, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78, 0.14, 0.86)


def number_labels(plan: Plan, frame: Frame, crowd: Crowd) -> list[Label]:
    """The number of every jump, on the side it is jumped from."""
    return [_number(crossing, frame, crowd) for crossing in plan.crossings]


def _number(crossing: Crossing, frame: Frame, crowd: Crowd) -> Label:
    text = str(crossing.jump.number)
    radius = max(NUMBER_RADIUS, text_width(text, FIGURE, "bold") / 2 + 0.9)
    size = (2 * radius + 0.5, 2 * radius + 0.5)
    place = choose_place(size, _number_places(crossing, frame, radius), crowd)
    x, y = place.centre
    pen = Pen(phase_pen(crossing.jump.phase).colour, 0.6)
    disc = Disc((x, y), radius, fill=PAPER, pen=pen)
    figure = Text((x, y + FIGURE * 0.33), text, FIGURE, "bold", "middle")
    name = f"number-{text}"
    return Label(name, Group(name, (disc, figure), f"jump {text}: {crossing.jump.fence}"), place)


def _number_places(crossing: Crossing, frame: Frame, radius: float) -> Iterator[Candidate]:
    """Before the fence as it is jumped, beside the track, then further back and out."""
    reach = frame.mm(crossing.fence.reach_m)
    front = frame.mm(crossing.depth_m / 2 + crossing.fence.fence.measures.ground_line_m)
    here = frame.at(crossing.pose.point)
    for back in (radius + 0.8, radius + 2.6, radius + 5.5):
        for out in (reach * 0.55, reach + radius * 0.4, reach + radius + 2, reach + radius + 5):
            for side in (-1, 1):
                pose = crossing.pose.ahead(-frame.metres(front + back), side * frame.metres(out))
                price = back * 0.3 + abs(out - reach) * 0.3 + (side > 0) * 0.1
                yield Candidate(frame.at(pose.point), here, price)


def name_labels(plan: Plan, frame: Frame, crowd: Crowd, units: Units) -> list[Label]:
    """Name, height and spread of every fence."""
    return [_name(fence, plan, frame, crowd, units) for fence in plan.fences]


def _name(placed: PlacedFence, plan: Plan, frame: Frame, crowd: Crowd, units: Units) -> Label:
    fence = placed.fence
    lines = [Line(placed.name, LABEL, "semibold")]
    if fence.measures.height_m > 0.05:
        height = length_text(fence.measures.height_m, _one(units))
        spread = f" × {length_text(fence.depth_m, _one(units))}" if fence.depth_m else ""
        lines.append(Line(f"{height}{spread}", SMALL, colour=SOFT_INK))
    places = _own_first(_name_places(placed, frame, label_size(lines)), placed, plan, frame)
    name = f"fence-{placed.name.replace(' ', '-')}"
    return text_label(name, tuple(lines), places, crowd)


def _own_first(
    places: Iterable[Candidate], placed: PlacedFence, plan: Plan, frame: Frame
) -> list[Candidate]:
    """Places that lie nearer to another fence come last: a name there would be read as its."""
    every = list(places)
    mine = plan.fences.index(placed)
    a, b = (np.array([frame.at(fence.span[end]) for fence in plan.fences]) for end in (0, 1))
    gaps = segment_distances(np.array([place.centre for place in every]), a, b)
    others = np.delete(gaps, mine, axis=1).min(axis=1, initial=np.inf)
    near = others < gaps[:, mine] + 1.0
    moved = [
        replace(place, price=place.price + NOT_ITS_OWN * bool(other))
        for place, other in zip(every, near, strict=True)
    ]
    return sorted(moved, key=lambda place: place.price)


NOT_ITS_OWN = 12.0


def _one(units: Units) -> Units:
    return "feet" if units == "both" else units


def _name_places(
    placed: PlacedFence, frame: Frame, size: tuple[float, float]
) -> Iterator[Candidate]:
    """Off either end of the fence, then slid along its sides, then anywhere round it."""
    width, height = size
    order = 0
    for gap in (1.0, 2.5, 5.0, 8.0):
        for side in (1, -1):
            for along in (0.0, 1.5, -1.5):
                end = placed.ground((along, side * placed.reach_m))
                x, y = frame.at(end)
                ox, oy = frame.at(placed.ground((along, side * (placed.reach_m + 1.0))))
                length = math.hypot(ox - x, oy - y)
                dx, dy = (ox - x) / length, (oy - y) / length
                reach = (abs(dx) * width + abs(dy) * height) / 2 + gap
                yield Candidate((x + dx * reach, y + dy * reach), (x, y), gap + order * 0.02)
                order += 1
    yield from around_point(frame.at(placed.pose.point), size, (6.0, 10.0, 15.0))


def distance_labels(plan: Plan, frame: Frame, crowd: Crowd, units: Units) -> list[Label]:
    """Strides and distance of every line and bend, in place."""
    return [
        _distance(leg, frame, crowd, units) for leg in plan.legs if leg.shape in ("line", "bend")
    ]


def stride_words(leg: PlanLeg) -> str:
    """``5 strides``, ``bounce``, or nothing when none are said."""
    if leg.strides is None:
        return ""
    if leg.strides == 0:
        poles = any(c and c.fence.fence.for_distances.is_pole for c in (leg.first, leg.second))
        return "" if poles else "bounce"
    return f"{leg.strides} stride{'s' if leg.strides > 1 else ''}"


def _distance(leg: PlanLeg, frame: Frame, crowd: Crowd, units: Units) -> Label:
    words = stride_words(leg)
    figure = length_text(leg.track_m, _one(units))
    lines = [Line(figure, FIGURE, "bold")]
    if words:
        lines = [Line(words, FIGURE, "bold"), Line(figure, LABEL)]
    if leg.shape == "bend":
        lines[-1] = Line(f"{lines[-1].text} on the track", lines[-1].size, lines[-1].weight)
    size = label_size(lines)
    spots = list(_spots(leg, frame))
    return text_label(f"leg-{leg.number}", tuple(lines), beside_curve(spots, size), crowd)


def _spots(leg: PlanLeg, frame: Frame) -> Iterator[Spot]:
    """Places along a leg, middle first, with the unit vector across it on paper."""
    shares = np.array(MIDDLE_FIRST)
    for share, (place, across, _) in zip(
        shares, _spots_at(leg, shares * leg.track_m, frame), strict=True
    ):
        yield place, across, abs(float(share) - 0.5) * 8


def _spots_at(leg: PlanLeg, lengths: Floats, frame: Frame) -> Iterator[Spot]:
    """Places at arc lengths, the first ones cheapest."""
    x, y, heading, _ = leg.curve.locate(lengths)
    for order, (px, py, theta) in enumerate(zip(x, y, heading, strict=True)):
        across = (-math.sin(theta), -math.cos(theta))
        yield frame.at((float(px), float(py))), across, order * 0.5


def gait_labels(plan: Plan, frame: Frame, crowd: Crowd) -> list[Label]:
    """What happens in a line besides cantering: ``walk 5 steps``."""
    out = []
    for leg in plan.legs:
        for index, stretch in enumerate(leg.ridden.stretches[1:]):
            if stretch.gait == "canter":
                continue
            lines = (Line(gait_words(leg, stretch), LABEL, "semibold"),)
            middle = leg.curve.pose_at((stretch.begin_m + stretch.end_m) / 2)
            across = (-math.sin(middle.heading), -math.cos(middle.heading))
            spots = [(frame.at(middle.point), across, 0.0)]
            size = label_size(lines)
            places = [*beside_curve(spots, size), *around_point(spots[0][0], size)]
            out.append(text_label(f"gait-{leg.number}-{index}", lines, places, crowd))
    return out


def lead_labels(plan: Plan, frame: Frame, crowd: Crowd) -> list[Label]:
    """The lead to land on, just after the fence, and where a change of lead is asked for."""
    out = []
    for leg in plan.legs:
        if leg.first and leg.first.jump.land:
            words = f"land {leg.first.jump.land}"
            near = np.minimum(np.array([3.0, 5.0, 7.0, 10.0]), leg.track_m)
            spots = list(_spots_at(leg, near, frame))
            out.append(_word(f"land-{leg.number}", words, spots, crowd))
        if leg.ridden.change:
            spots = list(_spots(leg, frame))
            out.append(_word(f"change-{leg.number}", f"{leg.ridden.change} change", spots, crowd))
    return out


def _word(name: str, words: str, spots: list[Spot], crowd: Crowd) -> Label:
    lines = (Line(words, LABEL, "italic"),)
    return text_label(name, lines, beside_curve(spots, label_size(lines)), crowd)


def gait_words(leg: PlanLeg, stretch: Stretch) -> str:
    """``walk 5 steps``, ``halt 4 seconds``, ``trot``."""
    said = leg.link.way.transition if leg.link.way else None
    if said is None or said.gait != stretch.gait:
        return stretch.gait
    if said.steps:
        return f"{said.gait} {said.steps} steps"
    if said.seconds:
        return f"{said.gait} {said.seconds:g} seconds"
    return said.gait


def end_labels(plan: Plan, frame: Frame, crowd: Crowd) -> list[Label]:
    """The words start and finish."""
    start, finish = plan.legs[0].curve.start, plan.legs[-1].curve.end
    gait, lead = plan.course.start.gait, plan.course.start.lead
    words = f"{gait}, {lead} lead" if lead else gait
    out = []
    for name, pose, extra in (("start", start, words), ("finish", finish, "")):
        lines = [Line(name.upper(), LABEL, "bold")]
        if extra:
            lines.append(Line(extra, SMALL))
        places = around_point(frame.at(pose.point), label_size(lines), (2.4, 4.0, 7.0, 11.0))
        out.append(text_label(name, tuple(lines), places, crowd))
    return out
