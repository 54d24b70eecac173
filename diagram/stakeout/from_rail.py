"""A fence found from the rail: a peg where the line of its poles meets a rail, both feet on one
tape from it, and one tape more to the nearer foot, or to the far one where the near one stands so
close to the peg that it would say too little about the far one.

Where that line meets no rail within a tape, each foot is found by two tapes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product

import numpy as np
from msgspec import Struct

from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point, Pose, wrap
from diagram.geometry.region import metres_to
from diagram.stakeout.crossing import crossing, is_left
from diagram.stakeout.ground import NEW_PEG, SHORTEST_M, Ground, along, feet_names, standing
from diagram.stakeout.known import Known, angle_between, crossed, sine_between
from diagram.stakeout.pegs import PegSpot, is_free
from diagram.stakeout.sides import nearer_to, side_ahead
from diagram.stakeout.taped import Reading, TapedFence

NEAREST_M = 0.3
"""Least metres between the peg and the near foot."""

TRIED = 12
"""How many marks, from the nearest, are tried for one that a second tape crosses."""

THROUGH = 3.0
"""A tape that lies along or through a fence that stands must be better by this much."""


class _Site(Struct, frozen=True):
    """A peg in line with the poles, beyond the left foot (`sign` 1) or the right one (-1), the
    mark for the second tape, whether that goes to the far foot, and the price of both."""

    price: float
    spot: PegSpot
    sign: int
    second: str | PegSpot
    far: bool


def found_from_rail(ground: Ground, placed: PlacedFence) -> TapedFence:
    """One tape for both feet and one to square it; the best rail of those that can be reached."""
    at_x = (placed.fence.parts.planes or (0.0,))[0]
    row, half = ground.pose(placed).ahead(at_x), placed.fence.measures.width_m / 2
    sites = list(_sites(ground, row, half))
    if not sites:
        return _foot_by_foot(ground, placed, at_x)
    site = min(sites, key=lambda site: site.price)
    sign = site.sign
    first, other, pegs = ground.both_marks(site.spot, site.second)
    near, far = (row.ahead(0.0, s * half).point for s in (sign, -sign))
    held = far if site.far else near
    exact = (math.dist(first.at, near), math.dist(first.at, far), math.dist(other.at, held))
    left = is_left(first.at, other.at, held)

    def stand(to_near: float, to_far: float, across: float) -> Pose | None:
        at = crossing(first.at, to_far if site.far else to_near, other.at, across, left)
        if at is None:
            return None
        out = math.atan2(at[1] - first.at[1], at[0] - first.at[0])
        reach = (to_near + to_far) / 2
        x, y = first.at[0] + reach * math.cos(out), first.at[1] + reach * math.sin(out)
        # The far foot lies to the right of the fence where the near one is its left.
        return Pose(x, y, wrap(out + sign * math.pi / 2)).ahead(-at_x)

    poles = ground.rounded(2 * half)
    choices = [(a, a + poles, b) for a in ground.both(exact[0]) for b in ground.both(exact[2])]
    read, made = ground.best_rounding(choices, stand, placed)
    error = ground.crew.tape_error
    drift = crossed(first, other, held, (error, error), (ground.error(), ground.error()))
    length = exact[1] if site.far else exact[0]
    unit = np.array(held) / length - np.array(first.at) / length
    across = np.array([-unit[1], unit[0]])
    turn = across @ (drift - first.drift) / length
    turn[ground.error()] += error / (2 * half)  # the other foot beside a tape that hangs in a bow
    middle = drift + ((-half if site.far else half) * across)[:, None] * turn
    middle[:, ground.error()] += unit * error
    ends = feet_names(placed, at_x)[::sign]
    squared = ends[1] if site.far else ends[0]
    readings = (
        *along(pegs),
        Reading("out", first.name, ends, read[:2], exact[:2]),
        Reading("square", other.name, (squared,), read[2:], exact[2:]),
    )
    towards = dict.fromkeys(ends, "")
    towards[squared] = nearer_to(ground.plan.arena, first.at, other.at, held)
    angle = angle_between(first.at, other.at, held)
    return TapedFence(pegs, readings, standing(made, middle, turn, at_x), at_x, towards, angle)


def reached_from_rail(ground: Ground, placed: PlacedFence) -> bool:
    """Whether one tape reaches every foot of a fence, from what stands or from the rail."""
    at_x = (placed.fence.parts.planes or (0.0,))[0]
    row, half = ground.pose(placed).ahead(at_x), placed.fence.measures.width_m / 2
    if any(_sites(ground, row, half)):
        return True
    feet = [row.ahead(0.0, y).point for y in (half, -half)]
    first = _would_be(ground, _nearest(ground, row.point, feet))
    return not any(ground.crew.joined(math.dist(first.at, foot)) for foot in feet) and bool(
        ground.best_second(first, row.point, also=feet)
    )


def _sites(ground: Ground, row: Pose, half: float) -> Iterator[_Site]:
    """Rails that the line of the poles meets within one tape, each with its second mark."""
    arena = ground.plan.arena
    for sign in (1, -1):
        ahead = row.turned(sign * math.pi / 2)
        side = side_ahead(arena, row.point, ahead.direction)
        reach = metres_to(arena.sides[side], row.point, ahead.direction)
        # From a peg in the very feet of the fence no tape can be pulled.
        if reach is None or reach < half + NEAREST_M or ground.crew.joined(reach + half):
            continue
        # Nearer to the peg than a pole is long, the near foot says too little about the far one.
        far = reach < 3 * half
        held = ahead.ahead(-half if far else half)
        spot = PegSpot(side, ahead.ahead(reach).point)
        first = Known("", spot.at, np.zeros((2, ground.width)))
        second = is_free(arena, spot) and ground.best_second(first, held.point)
        if second:
            # The other foot on a long tape past a short one swings wide of it.
            swing = 1 + 2 * half / max(reach + half if far else reach - half, 0.1)
            through = THROUGH if ground.crosses_a_fence(spot.at, held.point) else 1.0
            price = second[1] * swing * through * NEW_PEG ** len(ground.pegs_for(spot))
            yield _Site(price, spot, sign, second[0], far)


def _foot_by_foot(ground: Ground, placed: PlacedFence, at_x: float) -> TapedFence:
    """Each foot by two tapes, from the nearest mark and one that crosses it well."""
    row, half = ground.pose(placed).ahead(at_x), placed.fence.measures.width_m / 2
    feet = [row.ahead(0.0, y).point for y in (half, -half)]
    nearest = _nearest(ground, row.point, feet)
    first = _would_be(ground, nearest)
    found = ground.best_second(first, row.point, also=feet)
    second = found[0] if found else _any_other(ground, first, row.point)
    first, other, pegs = ground.both_marks(nearest, second)
    exact = tuple(math.dist(mark.at, at) for mark in (first, other) for at in feet)

    def stand(*read: float) -> Pose | None:
        places: list[Point] = []
        for n, foot in enumerate(feet):
            left = is_left(first.at, other.at, foot)
            at = crossing(first.at, read[n], other.at, read[n + 2], left)
            if at is None:
                return None
            places.append(at)
        (lx, ly), (rx, ry) = places
        heading = wrap(math.atan2(ly - ry, lx - rx) - math.pi / 2)
        return Pose((lx + rx) / 2, (ly + ry) / 2, heading).ahead(-at_x)

    choices = product(*(ground.both(metres) for metres in exact))
    read, made = ground.best_rounding(choices, stand, placed)
    errors = (ground.crew.reading_error(exact[0]), ground.crew.reading_error(exact[2]))
    drifts = [
        crossed(first, other, at, errors, (ground.error(), ground.error())) for at in feet
    ]  # fmt: skip
    turn = -np.array(row.direction) @ (drifts[0] - drifts[1]) / (2 * half)
    ends = feet_names(placed, at_x)
    readings = (
        *along(pegs),
        Reading("out", first.name, ends, read[:2], exact[:2]),
        Reading("square", other.name, ends, read[2:], exact[2:]),
    )
    towards = {
        end: nearer_to(ground.plan.arena, first.at, other.at, at)
        for end, at in zip(ends, feet, strict=True)
    }
    stands = standing(made, (drifts[0] + drifts[1]) / 2, turn, at_x)
    angles = (angle_between(first.at, other.at, foot) for foot in feet)
    flattest = min(angles, key=lambda angle: min(angle, math.pi - angle))
    return TapedFence(pegs, readings, stands, at_x, towards, flattest)


def _nearest(ground: Ground, at: Point, feet: Sequence[Point]) -> str | PegSpot:
    """The mark, or the round spot on a rail, that is nearest to a place; rather one from which
    a second tape crosses than one that has none."""
    named: list[tuple[float, str | PegSpot, Point]] = [
        (math.dist(mark.at, at), name, mark.at)
        for name, mark in ground.marks.items()
        if math.dist(mark.at, at) > SHORTEST_M
    ]
    free = [(math.dist(spot.at, at) * NEW_PEG, spot, spot.at) for spot, _, _ in ground.spots]
    ranked = sorted([*named, *free], key=lambda found: round(found[0], 9))
    still = np.zeros((2, ground.width))
    for _, which, place in ranked[:TRIED]:
        name = which if isinstance(which, str) else ""
        if ground.best_second(Known(name, place, still), at, also=feet):
            return which
    return ranked[0][1]


def _would_be(ground: Ground, which: str | PegSpot) -> Known:
    """A mark, or what a peg at a spot would be."""
    if isinstance(which, str):
        return ground.marks[which]
    return Known("", which.at, np.zeros((2, ground.width)))


def _any_other(ground: Ground, first: Known, at: Point) -> str:
    """Where no second tape reaches: the mark that crosses most squarely, whatever its length."""
    others = [mark for mark in ground.marks.values() if mark.name != first.name]
    return max(others, key=lambda mark: round(sine_between(first.at, mark.at, at), 6)).name
