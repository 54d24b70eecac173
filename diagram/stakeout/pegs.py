"""Pegs on the rail: where they may stand, and how a crew tapes along the rail to them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from diagram.exercise.arena import Arena
from diagram.geometry.pose import Point, unit_towards
from diagram.stakeout.points import corners
from diagram.units import FOOT, Units

GATE_CLEAR_M = 0.3
"""Metres beside the gate that no peg stands in: the post, and who opens it."""

SHORTEST_M = 1.0
"""Metres: pegs nearer to each other are no stepping stones."""


class Peg(Struct, frozen=True):
    """A peg on a side, `along_m` metres from the corner called `zero`; `number` from 1, or on from
    an earlier leaf.

    A tape along the rail from `start`, the corner or a peg nearer to it, reads `metres` there.
    `along` is the unit vector from the corner, `readings` how many it takes from there.
    """

    number: int
    side: str
    zero: str
    along_m: float
    start: str
    metres: float
    at: Point
    along: Point
    readings: int = 1

    @property
    def name(self) -> str:
        """``peg 1``."""
        return f"peg {self.number}"


class PegSpot(Struct, frozen=True):
    """A place on a side where a peg could stand; `zero` is the corner from which it is a round
    figure, empty where it is none."""

    side: str
    at: Point
    zero: str = ""


def round_step(units: Units) -> float:
    """Pegs that may stand anywhere stand at round figures: every 10 feet, or every 3 metres."""
    return 3.0 if units == "metres" else 10 * FOOT


def is_free(arena: Arena, spot: PegSpot) -> bool:
    """Whether a peg may stand there: on the side, and not in the gate or against its post."""
    a, b = arena.sides[spot.side]
    between = math.dist(a, spot.at) + math.dist(spot.at, b) < math.dist(a, b) + 1e-6
    in_gate = arena.gate and arena.gate.spans(spot.at, GATE_CLEAR_M)
    return between and not in_gate


def round_spots(arena: Arena, step: float, pegs: Sequence[Peg] = ()) -> Iterator[PegSpot]:
    """Free spots at round figures from the corners of each side, and on from standing pegs."""
    for side, (a, b) in arena.sides.items():
        length = math.dist(a, b)
        for zero, far in ((a, b), (b, a)):
            name = corner_name(arena, zero)
            starts = [p.along_m for p in pegs if (p.side, p.zero) == (side, name)]
            for begin in (0.0, *starts):
                for n in range(1, int((length - begin) / step) + 1):
                    at = _on(zero, far, begin + n * step)
                    spot = PegSpot(side, at, name)
                    if is_free(arena, spot):
                        yield spot


def pegs_to(
    spot: PegSpot, pegs: Sequence[Peg], tape_m: float, step: float, arena: Arena,
    wanted: Sequence[PegSpot] = (), before: int = 0,
) -> tuple[Peg, ...]:  # fmt: skip
    """The pegs to add so that one stands at `spot`: it, and those that one tape needs on the way.

    The shortest way: from either corner of the side, or on from a peg that stands on it. Pegs that
    are `wanted` later anyhow are set now where that saves one that nothing else is taped from.
    Numbers go on from those `before`, of another leaf, whose pegs may still be in the ground.
    """
    a, b = arena.sides[spot.side]
    ways = [
        _from(zero, far, spot, pegs, tape_m, step, arena, wanted, before)
        for zero, far in ((a, b), (b, a))
        if spot.zero in ("", corner_name(arena, zero))
    ]
    return min(ways, key=lambda way: (len(way), sum(peg.metres for peg in way)))


def _from(
    zero: Point, far: Point, spot: PegSpot, pegs: Sequence[Peg], tape_m: float, step: float,
    arena: Arena, wanted: Sequence[PegSpot], before: int,
) -> tuple[Peg, ...]:  # fmt: skip
    name, along = corner_name(arena, zero), math.dist(zero, spot.at)
    start, begin = name, 0.0
    if along > tape_m:
        for peg in sorted(pegs, key=lambda peg: peg.along_m):
            if (peg.side, peg.zero) == (spot.side, name) and peg.along_m < along:
                start, begin = peg.name, peg.along_m
    number, added = before + len(pegs) + 1, list[Peg]()
    unit = unit_towards(zero, far)
    later = [(math.dist(zero, w.at), w.at) for w in wanted if w.side == spot.side]
    while along - begin > tape_m:
        half = math.floor(tape_m / step) * step
        on, at = begin + half, _on(zero, far, begin + half)
        for there, place in sorted(later, reverse=True):
            nearer = _tapes(along - there, tape_m) < _tapes(along - begin, tape_m)
            if nearer and SHORTEST_M < there - begin <= tape_m and there < along:
                on, at = there, place
                break
        added.append(Peg(number, spot.side, name, on, start, on - begin, at, unit))
        begin = on
        start, number = added[-1].name, number + 1
    added.append(Peg(number, spot.side, name, along, start, along - begin, spot.at, unit))
    return tuple(added)


def _tapes(metres: float, tape_m: float) -> int:
    """How many tapes it takes along a rail."""
    return math.ceil(metres / tape_m - 1e-9)


def corner_name(arena: Arena, at: Point) -> str:
    """The name of a corner."""
    return next(name for name, corner in corners(arena).items() if corner == at)


def _on(zero: Point, far: Point, along: float) -> Point:
    share = along / math.dist(zero, far)
    return (zero[0] + share * (far[0] - zero[0]), zero[1] + share * (far[1] - zero[1]))
