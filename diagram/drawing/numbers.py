"""The numbers of the jumps, each on the side of its fence that it is jumped from."""

from __future__ import annotations

from collections.abc import Iterator

from diagram.drawing.frame import Frame
from diagram.drawing.labels import Candidate, Place, Wish, leader_of
from diagram.drawing.nudges import nudge_at
from diagram.exercise.fence import Fence
from diagram.path.line import Crossing
from diagram.planning import Plan
from diagram.scene import Disc, Group, Item, Stroke, Text
from diagram.style import FIGURE, LEADER, PAPER, Pen, phase_pen, text_width

RADIUS = 2.3
APART = 0.7
"""Millimetres between the rings of two jumps over one fence from one side."""


def number_wishes(plan: Plan, frame: Frame, phase: int | None = None) -> list[Wish]:
    """A label for each side of a fence that is jumped, with the numbers of all jumps from it."""
    sides: dict[tuple[str, bool], list[Crossing]] = {}
    for crossing in plan.crossings:
        if phase in (None, crossing.jump.phase) and crossing.jump.label:
            key = (crossing.jump.fence, crossing.jump.from_behind)
            sides.setdefault(key, []).append(crossing)
    return [_numbers(tuple(jumps), plan, frame) for jumps in sides.values()]


def _numbers(jumps: tuple[Crossing, ...], plan: Plan, frame: Frame) -> Wish:
    radii = [_radius(jump) for jump in jumps]
    width = 2 * sum(radii) + APART * (len(jumps) - 1) + 0.6
    size = (width, 2 * max(radii) + 0.6)
    name = f"number-{'-'.join(jump.jump.label for jump in jumps)}"
    says = " and ".join(jump.jump.label for jump in jumps)

    def paint(place: Place) -> Group:
        leader = leader_of(place)
        marks: list[Item] = [Stroke(leader, LEADER)] if leader else []
        x = place.box.left + 0.3
        for jump, radius in zip(jumps, radii, strict=True):
            marks += _disc(jump, radius, x + radius, place.centre[1])
            x += 2 * radius + APART
        return Group(name, tuple(marks), f"jump {says}: {jumps[0].jump.fence}")

    return Wish(
        name,
        f"number {says} at {jumps[0].jump.fence}",
        size,
        tuple(_places(jumps[0], frame, size)),
        paint,
        next((found for jump in jumps if (found := nudge_at(plan, jump.jump.path))), None),
    )


def _radius(jump: Crossing) -> float:
    return max(RADIUS, text_width(jump.jump.label, FIGURE, "bold") / 2 + 0.9)


def _disc(jump: Crossing, radius: float, x: float, y: float) -> list[Item]:
    pen = Pen(phase_pen(jump.jump.phase).colour, 0.6)
    return [
        Disc((x, y), radius, fill=PAPER, pen=pen),
        Text((x, y + FIGURE * 0.33), jump.jump.label, FIGURE, "bold", "middle"),
    ]


def _places(crossing: Crossing, frame: Frame, size: tuple[float, float]) -> Iterator[Candidate]:
    """Before the fence as it is jumped, beside the track, then further back and out."""
    reach = frame.mm(crossing.fence.reach_m)
    front = frame.mm(crossing.depth_m / 2 + _before(crossing.fence.fence))
    square = crossing.fence.pose
    square = square.reversed() if crossing.jump.from_behind else square
    dx, dy = frame.direction(square.heading)
    half_along = (abs(dx) * size[0] + abs(dy) * size[1]) / 2
    half_across = (abs(dy) * size[0] + abs(dx) * size[1]) / 2
    for back in (0.5, 2.0, 5.0):
        for out in (
            reach * 0.45 if half_across < reach * 0.45 - 0.6 else half_across + 0.9,
            max(reach * 0.6, half_across + 0.9),
            reach + half_across * 0.3,
            reach + half_across + 1.5,
            reach + half_across + 4.5,
        ):
            for side in (-1, 1):
                pose = square.ahead(
                    -frame.metres(front + back + half_along), side * frame.metres(out)
                )
                price = back * 0.5 + abs(out - reach * 0.6) * 0.3 + (side > 0) * 0.1
                target = _standard(crossing, side, frame)
                yield Candidate(frame.at(pose.point), target, price, led=back + out > reach + 6)


def _standard(crossing: Crossing, side: int, frame: Frame) -> tuple[float, float]:
    """The standard on that hand of the rider: a leader points at it, not across the track."""
    turned = -side if crossing.jump.from_behind else side
    return frame.at(crossing.fence.ground((0.0, turned * crossing.fence.reach_m)))


def _before(fence: Fence) -> float:
    """Metres before a fence that its ground line takes, or would take."""
    return max(fence.ground_line_m, fence.measures.ground_line_m)
