"""The ride stride by stride on paper: ticks with their numbers, cones, and what the checks mark.

Ticks stand across the track where a stride or step ends, dots where the horse lands and takes
off, a ring where a change of lead must be through. Numbers go where there is room left, and
where there is none the tick stands alone. A cone stands on each side of the track where a change
of gait begins and ends; a letter in a triangle is that of a finding in the list.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from diagram.diagnostics import Diagnostic, Severity
from diagram.drawing.crowd import Crowd
from diagram.drawing.frame import Frame
from diagram.drawing.labels import Candidate, Label, Place, Wish, leader_of
from diagram.drawing.lanes import Lane
from diagram.geometry.pose import Point, Pose
from diagram.planning import Plan, PlanLeg
from diagram.ride import Spot
from diagram.scene import Box, Disc, Fill, Group, Item, Stroke, Text
from diagram.style import INK, LEADER, PAPER, SMALL, SOFT_INK, Pen, text_width

TICK, LONG_TICK = 1.7, 2.6
TICK_PEN = Pen(INK, 0.18)
DOT, RING = 0.55, 0.95
EVERY = 5
LONG = 8
"""Strides. On a longer leg only every fifth is numbered."""
CONE, CONE_OFF = 1.7, 2.6
NUMBER_GAPS = (1.5, 2.4)


def stride_marks(
    plan: Plan, lanes: tuple[Lane, ...], frame: Frame, phase: int | None = None
) -> Group:
    """Ticks, dots and cones of all legs, or of one phase, to be painted over the track."""
    marks = [
        Group(f"strides-{leg.number}", tuple(_leg(leg, lane, frame)))
        for leg, lane in zip(plan.legs, lanes, strict=True)
        if phase in (None, leg.link.phase)
    ]
    return Group("strides", tuple(marks), "Landing, strides and take-off")


def _leg(leg: PlanLeg, lane: Lane, frame: Frame) -> Iterator[Item]:
    for spot, pose in _spots(leg, lane, frame):
        if spot.what in ("landing", "take-off"):
            yield Disc(frame.at(pose.point), DOT, fill=INK, pen=Pen(PAPER, 0.2))
        elif spot.what == "stride" and not _at_take_off(leg, spot):
            length = LONG_TICK if _is_long(leg, spot) and spot.number % EVERY == 0 else TICK
            yield _across(pose, length, frame)
        elif spot.what == "step":
            yield _across(pose, TICK * 0.7, frame)
    for change in leg.ridden.changes:
        if change.kind:
            pose = lane.shifted(leg.curve.pose_at(change.at_m), change.at_m, frame)
            yield Disc(frame.at(pose.point), RING, fill=PAPER, pen=Pen(INK, 0.35))
    yield from _cones(leg, lane, frame)


def _spots(leg: PlanLeg, lane: Lane, frame: Frame) -> Iterator[tuple[Spot, Pose]]:
    spots = leg.ridden.spots
    if not spots:
        return
    x, y, heading, _ = leg.curve.locate(np.array([spot.at_m for spot in spots]))
    for n, spot in enumerate(spots):
        pose = Pose(float(x[n]), float(y[n]), float(heading[n]))
        yield spot, lane.shifted(pose, spot.at_m, frame)


def _is_long(leg: PlanLeg, spot: Spot) -> bool:
    """Whether there are many strides on the leg, or in its part before or after a walk."""
    same = [other for other in leg.ridden.spots if other.stretch == spot.stretch]
    return sum(other.what == "stride" for other in same) > LONG


def _at_take_off(leg: PlanLeg, spot: Spot) -> bool:
    """The last stride ends where the horse takes off, and the dot of that stands there."""
    last = leg.ridden.spots[-1]
    return last.what == "take-off" and abs(last.at_m - spot.at_m) < 1e-6


def _across(pose: Pose, length: float, frame: Frame) -> Stroke:
    half = frame.metres(length / 2)
    ends = (pose.ahead(0.0, half).point, pose.ahead(0.0, -half).point)
    return Stroke(frame.many(ends), TICK_PEN)


def _cones(leg: PlanLeg, lane: Lane, frame: Frame) -> Iterator[Item]:
    """A pair where the other gait begins, a pair where it ends; one pair for a halt."""
    crossed = leg.ridden.in_and_out
    if crossed is None:
        return
    for s in sorted({crossed.begin_m, crossed.end_m}):
        pose = lane.shifted(leg.curve.pose_at(s), s, frame)
        for side in (1, -1):
            yield _cone(frame.at(pose.ahead(0.0, side * frame.metres(CONE_OFF)).point))


def _cone(at: Point) -> Fill:
    """A cone seen from the side, which is how everybody knows one."""
    x, y = at
    half = CONE / 2
    return Fill(((x - half, y + half), (x, y - half), (x + half, y + half)), PAPER, Pen(INK, 0.25))


def crowd_with_strides(plan: Plan, lanes: tuple[Lane, ...], frame: Frame, crowd: Crowd) -> None:
    """Keep labels off ticks, dots and cones; leaders may cross a tick as they may the track."""
    for leg, lane in zip(plan.legs, lanes, strict=True):
        for mark in _leg(leg, lane, frame):
            crowd.add_box(mark.bbox().grown(0.1), _kind(mark))


def _kind(mark: Item) -> str:
    match mark:
        case Fill():
            return "cone"
        case Disc():
            return "landing"
        case _:
            return "stride"


def stride_labels(
    plan: Plan, lanes: tuple[Lane, ...], frame: Frame, crowd: Crowd
) -> tuple[Label, ...]:
    """Numbers of strides where there is room: every one, on long legs every fifth.

    They come last. A tick without a number is still a stride.
    """
    out = []
    for leg, lane in zip(plan.legs, lanes, strict=True):
        # Nobody counts from the start or to the finish, nor the one stride of a grid.
        if leg.first is None or leg.second is None or leg.link.inner:
            continue
        for spot, pose in _spots(leg, lane, frame):
            if spot.what != "stride" or (_is_long(leg, spot) and spot.number % EVERY):
                continue
            name = f"stride-{leg.number}-{spot.stretch}-{spot.number}"
            label = _number(name, spot, pose, frame, crowd)
            if label is not None:
                crowd.add_box(label.place.box, "label")
                out.append(label)
    return tuple(out)


def _number(name: str, spot: Spot, pose: Pose, frame: Frame, crowd: Crowd) -> Label | None:
    text = str(spot.number)
    size = (text_width(text, SMALL) + 0.3, SMALL * 0.78)
    places = list(_beside(pose, size, frame))
    boxes = [_box(candidate.centre, size) for candidate in places]
    free = [n for n, covers in enumerate(crowd.covered(boxes)) if not covers]
    if not free:
        return None
    place = Place(boxes[free[0]], places[free[0]].target, (), places[free[0]])
    x, y = place.centre
    mark = Text((x, y + SMALL * 0.33), text, SMALL, "regular", "middle", 0.0, SOFT_INK)
    return Label(name, Group(name, (mark,)), place)


def _beside(pose: Pose, size: tuple[float, float], frame: Frame) -> Iterator[Candidate]:
    """To the right of the track, then to the left of it, then further off."""
    target = frame.at(pose.point)
    nx, ny = math.sin(pose.heading), math.cos(pose.heading)
    half = (abs(nx) * size[0] + abs(ny) * size[1]) / 2
    for gap in NUMBER_GAPS:
        for side in (1, -1):
            reach = side * (half + gap)
            centre = (target[0] + nx * reach, target[1] + ny * reach)
            yield Candidate(centre, target, gap, led=False)


def _box(centre: Point, size: tuple[float, float]) -> Box:
    return Box(
        centre[0] - size[0] / 2, centre[1] - size[1] / 2,
        centre[0] + size[0] / 2, centre[1] + size[1] / 2,
    )  # fmt: skip


FINDING, FINDING_TALL = 5.6, 4.9


def finding_wishes(plan: Plan, frame: Frame) -> list[Wish]:
    """A letter in a triangle at every place of findings; filled where one of them says stop."""
    places: dict[str, list[Diagnostic]] = {}
    for finding in plan.findings:
        mark = dict(finding.facts).get("mark")
        if mark:
            places.setdefault(mark, []).append(finding)
    return [_finding(mark, found, plan, frame) for mark, found in places.items()]


def _finding(mark: str, found: list[Diagnostic], plan: Plan, frame: Frame) -> Wish:
    size = (FINDING, FINDING_TALL)
    target = frame.at(_beside_fences(dict(found[0].facts)["at_m"], plan))
    worst = min((finding.severity for finding in found), key=lambda severity: severity.rank)
    title = "; ".join(f"{finding.severity}: {finding.message}" for finding in found)

    def paint(place: Place) -> Group:
        leader = leader_of(place)
        marks: list[Item] = [Stroke(leader, LEADER)] if leader else []
        marks += _triangle(mark, worst, place.centre)
        return Group(f"finding-{mark}", tuple(marks), title)

    candidates = tuple(_round(target, size))
    return Wish(f"finding-{mark}", f"the letter {mark} of the checks", size, candidates, paint)


def _beside_fences(at: Point, plan: Plan) -> Point:
    """The place on the ground, or where it lies in a fence the nearer end of that: a line to the
    letter may not run over the poles."""
    x, y = at
    for placed in plan.fences:
        seen = Pose(x, y, 0.0).seen_from(placed.pose)
        deep = placed.fence.depth_m / 2 + AROUND_M
        if abs(seen.x) <= deep and abs(seen.y) <= placed.reach_m + AROUND_M:
            side = 1 if seen.y >= 0 else -1
            return placed.ground((0.0, side * (placed.reach_m + AROUND_M)))
    return at


SHORT = 1.6
"""Millimetres that the line to a letter's place ends before it."""
AROUND_M = 0.8
"""Metres round a fence that belong to it: ground lines and the ends of standards."""


def _round(target: Point, size: tuple[float, float]) -> Iterator[Candidate]:
    for gap in (0.9, 2.2, 4.5, 7.5, 11.0, 16.0):
        for n in range(12):
            turn = math.radians(30 * n + 15)
            dx, dy = math.cos(turn), -math.sin(turn)
            reach = abs(dx) * size[0] / 2 + abs(dy) * size[1] / 2 + gap
            centre = (target[0] + dx * reach, target[1] + dy * reach)
            yield Candidate(centre, target, gap, short=SHORT)


def _triangle(letter: str, severity: Severity, centre: Point) -> Iterator[Item]:
    x, y = centre
    stop = severity is Severity.STOP
    half, tall = FINDING / 2, FINDING_TALL / 2
    corners = ((x - half, y + tall), (x, y - tall), (x + half, y + tall))
    pen = Pen(INK, 0.25 if severity is Severity.NOTE else 0.5)
    yield Fill(corners, INK if stop else PAPER, pen)
    colour = PAPER if stop else INK
    yield Text((x, y + tall - 0.7), letter, SMALL, "bold", "middle", 0.0, colour)


def stride_entries(plan: Plan) -> list[tuple[float, tuple[Item, ...], str]]:
    """What ticks, dots and cones mean: width of the sample, its marks, the words."""
    entries: list[tuple[float, tuple[Item, ...], str]] = [
        (1.2, (Disc((0.6, 0.0), DOT, fill=INK),), "landing, take-off"),
        (0.6, (Stroke(((0.3, -0.8), (0.3, 0.8)), TICK_PEN),), "stride"),
    ]
    if any(leg.ridden.in_and_out for leg in plan.legs):
        entries.append((CONE, (_cone((CONE / 2, 0.0)),), "cone: change of gait"))
    if any(change.kind for leg in plan.legs for change in leg.ridden.changes):
        ring = Disc((RING, 0.0), RING, fill=PAPER, pen=Pen(INK, 0.35))
        entries.append((2 * RING, (ring,), "lead changed by here"))
    if any("mark" in dict(finding.facts) for finding in plan.findings):
        small = tuple(_triangle("A", Severity.NOTE, (FINDING / 2, 0.0)))
        entries.append((FINDING, small, "see the checks"))
    return entries
