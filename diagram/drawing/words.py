"""What is written on the drawing: names of fences, distances of legs, gaits, leads, the ends."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from diagram.drawing.dimensions import Dimension, dimension_candidates, dimension_marks
from diagram.drawing.frame import Frame
from diagram.drawing.labels import (
    Candidate,
    Line,
    Place,
    Wish,
    around_point,
    beside_curve,
    label_size,
    leader_of,
    text_wish,
)
from diagram.drawing.nudges import nudge_at, nudge_of_fence
from diagram.exercise.fence import PlacedFence
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.geometry.region import segment_distances
from diagram.model.said import Lead
from diagram.planning import Plan, PlanLeg
from diagram.ride import Stretch
from diagram.scene import Fill, Group, Item, Stroke, Text
from diagram.style import FIGURE, INK, LABEL, LEADER, PAPER, SMALL, SOFT_INK, text_width
from diagram.units import Units, length_text

Spot = tuple[Point, Point, float]
"""A place on the paper, the unit vector across the line there, and what it costs."""

MIDDLE_FIRST = (0.5, 0.44, 0.56, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78, 0.14, 0.86)


def name_wishes(plan: Plan, frame: Frame, units: Units) -> list[Wish]:
    """Name, height and spread of every fence."""
    return [_name(fence, plan, frame, fence_measures(fence, units)) for fence in plan.fences]


def short_name_wishes(plan: Plan, frame: Frame, phase: int | None) -> list[Wish]:
    """The names alone, of the fences that are jumped in a phase."""
    jumped = {c.jump.fence for c in plan.crossings if phase in (None, c.jump.phase)}
    return [_name(fence, plan, frame, "") for fence in plan.fences if fence.name in jumped]


def post_wishes(plan: Plan, frame: Frame) -> list[Wish]:
    """The name of every post of the arena."""
    out = []
    for name, point in plan.arena.posts.items():
        lines = (Line(name, SMALL, colour=SOFT_INK),)
        places = around_point(frame.at(point), label_size(lines), (0.6, 2.0, 4.0))
        out.append(text_wish(f"post-{name.replace(' ', '-')}", lines, places))
    return out


def _name(placed: PlacedFence, plan: Plan, frame: Frame, measures: str) -> Wish:
    lines = [Line(placed.name, LABEL, "semibold")]
    if measures:
        lines.append(Line(measures, SMALL, colour=SOFT_INK))
    places = _own_first(_name_places(placed, frame, label_size(lines)), placed, plan, frame)
    name = f"fence-{placed.name.replace(' ', '-')}"
    return text_wish(name, tuple(lines), places, nudge_of_fence(plan, placed.name))


def fence_measures(placed: PlacedFence, units: Units) -> str:
    """``3' × 2'9"``: height and spread; nothing for a pole on the ground."""
    fence = placed.fence
    if fence.measures.height_m <= 0.05:
        return ""
    height = length_text(fence.measures.height_m, one_unit(units))
    spread = f" × {length_text(fence.depth_m, one_unit(units))}" if fence.depth_m else ""
    return f"{height}{spread}"


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
    return [
        replace(place, price=place.price + NOT_ITS_OWN * bool(other))
        for place, other in zip(every, near, strict=True)
    ]


NOT_ITS_OWN = 12.0


def one_unit(units: Units) -> Units:
    """Feet where both are wanted: a drawing has room for one."""
    return "feet" if units == "both" else units


def _name_places(
    placed: PlacedFence, frame: Frame, size: tuple[float, float]
) -> Iterator[Candidate]:
    """Off either end of the fence, then slid along its sides, then anywhere round it."""
    width, height = size
    order = 0
    for gap in (0.8, 2.5, 5.0, 8.0):
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
    for side in (1, -1):
        end = frame.at(placed.ground((0.0, side * placed.reach_m)))
        yield from around_point(end, size, (1.0, 3.0, 6.0, 10.0))


def distance_wishes(plan: Plan, frame: Frame, units: Units, phase: int | None = None) -> list[Wish]:
    """Strides and distance of every line and bend; said once for legs over the same ground."""
    alike: dict[tuple[frozenset[str], tuple[Line, ...]], list[PlanLeg]] = {}
    for leg in plan.legs:
        if leg.shape not in ("line", "bend") or phase not in (None, leg.link.phase):
            continue
        ends = frozenset(c.jump.fence for c in (leg.first, leg.second) if c)
        alike.setdefault((ends, _distance_lines(leg, units)), []).append(leg)
    return [_distance(legs, lines, plan, frame) for (_, lines), legs in alike.items()]


def stride_words(leg: PlanLeg) -> str:
    """``5 strides``, ``bounce``, or nothing when none are said."""
    if leg.strides is None:
        return ""
    if leg.strides == 0:
        poles = any(c and c.fence.fence.for_distances.is_pole for c in (leg.first, leg.second))
        return "" if poles else "bounce"
    return f"{leg.strides} stride{'s' if leg.strides > 1 else ''}"


def _distance_lines(leg: PlanLeg, units: Units) -> tuple[Line, ...]:
    words = stride_words(leg)
    figure = length_text(leg.track_m, one_unit(units))
    lines = [Line(figure, FIGURE, "bold")]
    if words:
        lines = [Line(words, FIGURE, "bold"), Line(figure, LABEL)]
    if leg.shape == "bend":
        lines[-1] = Line(f"{lines[-1].text} on the track", lines[-1].size, lines[-1].weight)
    return tuple(lines)


def _distance(legs: list[PlanLeg], lines: tuple[Line, ...], plan: Plan, frame: Frame) -> Wish:
    leg = legs[0]
    if len({(c.jump.fence if c else "") for c in (other.first for other in legs)}) > 1:
        lines = (*lines, Line("each way", SMALL, colour=SOFT_INK))
    size = label_size(lines)
    drawn = dict(dimension_candidates(leg, frame, size))
    # Beside the track without a dimension line costs more than any place in one.
    beside = [replace(c, price=c.price + 10) for c in beside_curve(_spots(leg, frame), size)]
    nudge = next((found for other in legs if (found := nudge_at(plan, other.path))), None)
    ends = " to ".join(c.jump.fence for c in (leg.first, leg.second) if c)
    candidates = [*drawn, *beside]
    if nudge:
        candidates = list(beside)
    wish = text_wish(f"leg-{leg.number}", lines, candidates, nudge, ends)

    def paint(place: Place) -> Group:
        dimension = drawn.get(place.chosen) if place.chosen else None
        return _with_dimension(wish.paint(place), dimension)

    return replace(wish, paint=paint)


def _with_dimension(group: Group, dimension: Dimension | None) -> Group:
    if dimension is None:
        return group
    return replace(group, children=(*dimension_marks(dimension), *group.children))


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
        yield frame.at((float(px), float(py))), frame.across(float(theta)), order * 0.5


def gait_wishes(plan: Plan, frame: Frame, phase: int | None = None) -> list[Wish]:
    """What happens in a line besides cantering: ``walk 5 steps``."""
    out = []
    for leg in plan.legs:
        for index, stretch in enumerate(leg.ridden.stretches[1:]):
            if stretch.gait == "canter" or phase not in (None, leg.link.phase):
                continue
            lines = (Line(gait_words(leg, stretch), LABEL, "semibold"),)
            middle = leg.curve.pose_at((stretch.begin_m + stretch.end_m) / 2)
            spots = [(frame.at(middle.point), frame.across(middle.heading), 0.0)]
            size = label_size(lines)
            places = [
                *beside_curve(spots, size, short=3.2),
                *around_point(spots[0][0], size, short=3.2),
            ]
            out.append(text_wish(f"gait-{leg.number}-{index}", lines, places))
    return out


def lead_wishes(plan: Plan, frame: Frame, phase: int | None = None) -> list[Wish]:
    """The lead to land on, just after the fence, and where a change of lead is asked for.

    Jumps that land alike from one side of a fence share the words. Where a fence is jumped
    more than once the words say which jump is meant.
    """
    out = []
    landings: dict[tuple[str, bool, Lead], list[PlanLeg]] = {}
    for leg in plan.legs:
        if phase not in (None, leg.link.phase):
            continue
        if leg.first and leg.first.jump.land:
            jump, land = leg.first.jump, leg.first.jump.land
            landings.setdefault((jump.fence, jump.from_behind, land), []).append(leg)
        if leg.ridden.change:
            spots = list(_spots(leg, frame))
            out.append(_word(f"change-{leg.number}", f"{leg.ridden.change} change", spots))
    numbers = plan.numbers()
    for (fence, _, side), legs in landings.items():
        leg = legs[0]
        which = ", ".join(other.first.jump.label for other in legs if other.first)
        words = f"land {side}" if len(numbers[fence]) == 1 else f"{which}: land {side}"
        near = np.minimum(np.array([3.0, 5.0, 7.0, 10.0, 2.0, 13.0]), leg.track_m)
        out.append(_word(f"land-{leg.number}", words, list(_spots_at(leg, near, frame))))
    return out


def _word(name: str, words: str, spots: list[Spot]) -> Wish:
    lines = (Line(words, LABEL, "italic"),)
    return text_wish(name, lines, beside_curve(spots, label_size(lines)))


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


TAG_PAD = 1.0


def end_wishes(plan: Plan, ends: tuple[Point | None, Point | None]) -> list[Wish]:
    """The words start and finish, white on black, at `ends` on the paper."""
    gait, lead = plan.course.start.gait, plan.course.start.lead
    words = f"{gait}, {lead} lead" if lead else gait
    return [
        _tag(name, at, extra)
        for name, at, extra in (("start", ends[0], words), ("finish", ends[1], ""))
        if at is not None
    ]


def _tag(name: str, at: Point, extra: str) -> Wish:
    word = name.upper()
    tag = (text_width(word, LABEL, "bold") + 2 * TAG_PAD, LABEL * 1.3)
    below = LABEL * 1.15 if extra else 0.0
    width = max(tag[0], text_width(extra, SMALL) if extra else 0.0)
    size = (width + 0.8, tag[1] + below + 0.8)

    def paint(place: Place) -> Group:
        x, top = place.centre[0], place.box.top + 0.4
        left, right, bottom = x - tag[0] / 2, x + tag[0] / 2, top + tag[1]
        leader = leader_of(place)
        marks: list[Item] = [Stroke(leader, LEADER)] if leader else []
        marks += [
            Fill(((left, top), (right, top), (right, bottom), (left, bottom)), INK),
            Text((x, top + tag[1] / 2 + LABEL * 0.33), word, LABEL, "bold", "middle", colour=PAPER),
        ]
        if extra:
            marks.append(Text((x, bottom + SMALL * 0.98), extra, SMALL, anchor="middle"))
        return Group(f"label-{name}", tuple(marks))

    says = f"{name}, {extra}" if extra else name
    places = tuple(around_point(at, size, (2.8, 4.5, 7.0, 11.0), short=3.2))
    return Wish(name, says, size, places, paint)
