"""A fence set by its line: the length from what stands, a direction, and two tapes that square it.

In a combination the tape of the line runs on to the last element, and gives the direction.
"""

from __future__ import annotations

import math

import numpy as np

from diagram.exercise.fence import PlacedFence
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point, Pose, wrap
from diagram.stakeout.crossing import crossing, is_left
from diagram.stakeout.ground import Ground, along, feet_names, row_x, standing
from diagram.stakeout.hanging import Hung
from diagram.stakeout.known import Known, angle_between, crossed
from diagram.stakeout.sides import nearer_to
from diagram.stakeout.taped import Reading, TapedFence


def set_by_line(ground: Ground, hung: Hung, placed: PlacedFence) -> TapedFence | None:
    """From the middle of a row that stands; None where nothing gives the direction."""
    assert hung.start is not None
    assert hung.end is not None
    at_x = row_x(placed, hung.end)
    target = ground.pose(placed).ahead(at_x).point
    start = ground.marks[hung.start.name]
    # A second tape from the fence that the first one begins at would lie along it.
    own = {name for name in ground.marks if name.endswith(f" of {hung.start.fence}")}
    second = ground.best_second(start, target, own)
    if second is None:
        return None
    other, pegs = ground.mark(second[0])
    length, across = math.dist(ground.planned(hung.start), target), math.dist(other.at, target)
    line = ground.rounded(length)
    left = is_left(start.at, other.at, target)

    def stand(cross: float, *square: float) -> Pose | None:
        at = crossing(start.at, line, other.at, cross, left)
        return at and squared(start.at, at, square, ground.pose(placed), half).ahead(-at_x)

    half = placed.fence.measures.width_m / 2
    squares = _squares(ground, start, placed, at_x)
    choices = [(c, *ground.square_read(squares)) for c in ground.both(across)]
    read, made = ground.best_rounding(choices, stand, placed)
    errors = (ground.crew.reading_error(line), ground.crew.reading_error(across))
    drift = crossed(start, other, target, errors, (ground.error(), ground.error()))
    turn = _turn(ground, start, target, drift, placed)
    readings = (
        *along(pegs),
        Reading("line", start.name, (hung.end.name,), (line,), (length,)),
        Reading("direction", other.name, (hung.end.name,), read[:1], (across,)),
        Reading("square", start.name, feet_names(placed, at_x), read[1:], squares),
    )
    towards = {hung.end.name: nearer_to(ground.plan.arena, start.at, other.at, target)}
    towards |= _feet_towards(ground, start, target, placed, at_x)
    angle = angle_between(start.at, other.at, target)
    return TapedFence(pegs, readings, standing(made, drift, turn, at_x), at_x, towards, angle)


def set_on_the_tape(ground: Ground, hung: Hung, placed: PlacedFence) -> TapedFence:
    """A length on the tape that lies from the first element of a combination to its last."""
    assert hung.start is not None
    assert hung.end is not None
    assert hung.beyond is not None
    at_x = row_x(placed, hung.end)
    start, beyond = ground.marks[hung.start.name], ground.marks[hung.beyond.name]
    length = math.dist(ground.planned(hung.start), ground.pose(placed).ahead(at_x).point)
    line, whole = ground.rounded(length), math.dist(start.at, beyond.at)
    way = np.array(beyond.at) / whole - np.array(start.at) / whole
    x, y = np.array(start.at) + line * way
    at = (float(x), float(y))
    half = placed.fence.measures.width_m / 2
    squares = _squares(ground, start, placed, at_x)

    def stand(*square: float) -> Pose:
        return squared(start.at, at, square, ground.pose(placed), half).ahead(-at_x)

    read, made = ground.best_rounding([ground.square_read(squares)], stand, placed)
    across = np.array([-way[1], way[0]])
    # Sideways it lies between both ends of the tape; along it, where its own reading says.
    sideways = across @ ((1 - line / whole) * start.drift + line / whole * beyond.drift)
    drift = np.outer(across, sideways) + np.outer(way, way @ start.drift)
    drift[:, ground.error()] += way * ground.crew.reading_error(line)
    drift[:, ground.error()] += across * ground.crew.tape_error
    turn = _turn(ground, start, at, drift, placed)
    readings = (
        Reading("line", start.name, (hung.end.name,), (line,), (length,)),
        Reading("square", start.name, feet_names(placed, at_x), read, squares),
    )
    towards = {hung.end.name: "", **_feet_towards(ground, start, at, placed, at_x)}
    stands = standing(made, drift, turn, at_x)
    return TapedFence((), readings, stands, at_x, towards, math.pi / 2)


def squared(
    start: Point, at: Point, read: tuple[float, ...], planned: Pose, half: float
) -> Pose:  # fmt: skip
    """A fence with the middle of its row at `at`, turned until tapes from `start` to its left and
    right foot `read` so.

    With v from `start` to the middle and p along the poles to the left foot, the readings r have
    r² = |v|² + half² ± 2 half v·p; hence v·p, and p on either side of v. The one nearer to the
    plan is meant.
    """
    vx, vy = at[0] - start[0], at[1] - start[1]
    cosine = (read[0] ** 2 - read[1] ** 2) / (4 * half * math.hypot(vx, vy))
    angle = math.acos(max(-1.0, min(1.0, cosine)))
    way, poles = math.atan2(vy, vx), planned.heading + math.pi / 2
    nearest = min((way + angle, way - angle), key=lambda turn: abs(wrap(turn - poles)))
    return Pose(*at, wrap(nearest - math.pi / 2))


def _squares(ground: Ground, start: Known, placed: PlacedFence, at_x: float) -> tuple[float, ...]:
    """Exact readings from a mark to the left and the right foot of a row."""
    half, pose = placed.fence.measures.width_m / 2, ground.pose(placed)
    return tuple(math.dist(start.at, pose.ahead(at_x, y).point) for y in (half, -half))


def _turn(ground: Ground, start: Known, at: Point, drift: Floats, placed: PlacedFence) -> Floats:
    """How a fence that is squared from `start` turns: with the line to it, and with the difference
    of its two readings (the formula in `squared`, differentiated)."""
    way = math.atan2(at[1] - start.at[1], at[0] - start.at[0])
    across = np.array([-math.sin(way), math.cos(way)])
    turn: Floats = across @ (drift - start.drift) / math.dist(start.at, at)
    poles = placed.fence.measures.width_m
    facing = max(abs(math.cos(ground.pose(placed).heading - way)), 1e-9)
    turn[ground.error()] += math.sqrt(2) * ground.crew.tape_error / (poles * facing)
    return turn


def _feet_towards(
    ground: Ground, start: Known, middle: Point, placed: PlacedFence, at_x: float
) -> dict[str, str]:
    """Which foot of a fence is on which side of the line to it."""
    pose, half = ground.pose(placed), placed.fence.measures.width_m / 2
    return {
        name: nearer_to(ground.plan.arena, start.at, middle, pose.ahead(at_x, y).point)
        for name, y in zip(feet_names(placed, at_x), (half, -half), strict=True)
    }
