"""Where arrowheads stand: wherever a rider must choose, and often enough in between."""

from __future__ import annotations

import math
from collections.abc import Iterator

from diagram.drawing.crossings import Over
from diagram.drawing.frame import Frame
from diagram.drawing.lanes import Lane
from diagram.geometry.pose import Point, Pose
from diagram.planning import PlanLeg

LENGTH, WIDTH = 4.2, 3.0
"""Millimetres of an arrowhead, tip to tail and across."""
AFTER_FENCE = 9.0
AFTER_CROSSING = 7.0
"""Millimetres beyond the place of a choice, to the middle of the arrowhead that settles it."""
EVERY = 55.0
"""Millimetres of track with at least one arrowhead."""
SHORT = 26.0
"""Millimetres of a leg that has room for one arrowhead only."""
FROM_END, FROM_CROSSING, FROM_SLOW = 4.2, 3.6, 3.5
ALONG, BESIDE = 20.0, 4.4
"""Millimetres between two arrowheads of one leg, and of two legs."""
SLIDES = (0.0, 2.5, -2.5, 5.0, 7.5, 10.0)


def arrow_places(
    legs: tuple[PlanLeg, ...], lanes: tuple[Lane, ...], overs: tuple[Over, ...], frame: Frame
) -> list[tuple[Pose, ...]]:
    """The poses of the arrowheads of each leg, none on a crossing, a fence or another one."""
    taken: list[Point] = []
    out = []
    for index, (leg, lane) in enumerate(zip(legs, lanes, strict=True)):
        crossed = [o.s_upper for o in overs if o.upper == index]
        crossed += [o.s_lower for o in overs if o.lower == index]
        here: list[float] = []
        poses = []
        for wanted in _wanted(leg, crossed, frame):
            for slide in SLIDES:
                place = wanted + slide
                pose = lane.shifted(
                    leg.curve.pose_at(frame.metres(place)), frame.metres(place), frame
                )
                at = frame.at(pose.point)
                if _free(place, leg, here, crossed, frame) and all(
                    math.dist(at, other) > BESIDE for other in taken
                ):
                    here.append(place)
                    poses.append(pose)
                    taken.append(at)
                    break
        out.append(tuple(poses))
    return out


def _wanted(leg: PlanLeg, crossed: list[float], frame: Frame) -> Iterator[float]:
    """Millimetres along a leg where an arrowhead would help, the most helpful first."""
    length = frame.mm(leg.track_m)
    if length < SHORT:
        yield length / 2
        return
    if leg.first is not None:
        yield AFTER_FENCE
    for s in sorted(crossed):
        yield frame.mm(s) + AFTER_CROSSING
    count = max(1, round(length / EVERY))
    for n in range(count):
        yield length * (n + 0.5) / count


def _free(
    place: float, leg: PlanLeg, here: list[float], crossed: list[float], frame: Frame
) -> bool:
    length = frame.mm(leg.track_m)
    if not min(FROM_END, length / 2) <= place <= max(length - FROM_END, length / 2):
        return False
    if any(abs(place - other) < ALONG for other in here):
        return False
    if any(abs(place - frame.mm(s)) < FROM_CROSSING for s in crossed):
        return False
    return not any(
        frame.mm(stretch.begin_m) - FROM_SLOW < place < frame.mm(stretch.end_m) + FROM_SLOW
        for stretch in leg.ridden.stretches[1:]
        if stretch.gait != "canter"
    )
