"""What a designer works with: the arena with its gate, the pieces of a ride, and the ways."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.placing.designer.carriers import Carrier, carriers_of
from diagram.placing.designer.pieces import Piece, pieces_of
from diagram.placing.designer.turn_table import Hand
from diagram.solver.relations import Bending, End, Open, Problem, Straight, Turning


class StraightLine(Struct, frozen=True):
    """A straight line of the ride from one end to the next, within one piece.

    A fence jumped alone is one too: from its own take-off to its landing.
    """

    piece: int
    first: End
    second: End
    single: bool


class DesignGround(Struct, frozen=True, dict=True):
    """The problem as a designer sees it; some turns may be `tight`, tighter than they are ridden
    in the end, so that what stands at both their ends is found at all."""

    problem: Problem
    gate: Point | None
    tight: frozenset[Turning] = frozenset()

    @cached_property
    def carriers(self) -> tuple[Carrier, ...]:
        """Lines of the arena."""
        return carriers_of(self.problem.region)

    def carriers_for(self, piece: Piece) -> tuple[Carrier, ...]:
        """Those that a piece may lie on: the lines of a course that changes rein are outside lines
        and diagonals, and do not lie a half circle in from the outside."""
        hands = {way.left for _, way in self.turns}
        if len(piece.bodies) == 1 or len(hands) < 2:
            return self.carriers
        return tuple(c for c in self.carriers if c.family != "inside")

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """What is placed in one go."""
        return pieces_of(self.problem)

    @cached_property
    def piece_of(self) -> dict[int, int]:
        """Number of the piece that a body belongs to."""
        return {body: n for n, piece in enumerate(self.pieces) for body in piece.bodies}

    @cached_property
    def turns(self) -> tuple[tuple[int, Turning], ...]:
        """The turns in the order of the ride, with their numbers among the relations."""
        return tuple((n, r) for n, r in enumerate(self.problem.relations) if isinstance(r, Turning))

    @cached_property
    def lines(self) -> tuple[StraightLine, ...]:
        """Straight lines and single fences, in the order of the ride."""
        out: list[StraightLine] = []
        lined: set[int] = set()
        for relation in self.problem.relations:
            if isinstance(relation, Straight) and not relation.given:
                piece = self.piece_of[relation.first.body]
                out.append(StraightLine(piece, relation.first, relation.second, False))
                lined |= {relation.first.body, relation.second.body}
        for _, way in self.turns:
            if way.second.body not in lined:
                out.append(
                    StraightLine(self.piece_of[way.second.body], way.second, way.second, True)
                )
                lined.add(way.second.body)
        for end in (way.end for way in self.problem.opens):
            if end.body not in lined:
                out.append(StraightLine(self.piece_of[end.body], end, end, True))
                lined.add(end.body)
        return tuple(out)

    @cached_property
    def bends(self) -> tuple[Bending, ...]:
        """The bends as they are ridden, second ways left out."""
        return tuple(
            r for r in self.problem.relations if isinstance(r, Bending) and r.between is None
        )

    @cached_property
    def start(self) -> Open | None:
        """The way to the first fence."""
        return next((way for way in self.problem.opens if way.approach), None)

    @cached_property
    def finish(self) -> Open | None:
        """The way from the last fence."""
        return next((way for way in self.problem.opens if not way.approach and not way.back), None)

    @property
    def rails(self) -> Floats:
        """Headings of the rails, each once, modulo a half turn."""
        return self.problem.region.headings

    @cached_property
    def diagonals(self) -> Floats:
        """Headings of diagonals."""
        return np.array([c.heading for c in self.carriers if c.family == "diagonal"])

    @cached_property
    def slants(self) -> Floats:
        """Headings at 45 degrees."""
        return np.array([c.heading for c in self.carriers if c.family == "slant"])

    @property
    def size(self) -> float:
        """Metres from corner to corner."""
        x0, y0, x1, y1 = self.problem.region.bounds
        return math.hypot(x1 - x0, y1 - y0)

    @property
    def short_side(self) -> float:
        """Metres across the arena."""
        x0, y0, x1, y1 = self.problem.region.bounds
        return min(x1 - x0, y1 - y0)

    @property
    def middle(self) -> complex:
        """The middle of the arena."""
        x0, y0, x1, y1 = self.problem.region.bounds
        return complex((x0 + x1) / 2, (y0 + y1) / 2)

    def hand(self, turn: Turning, level: int) -> Hand:
        """How a turn is ridden: more straight at its ends first, less where that is dry."""
        limits = self.problem.limits.canter
        strides = STRAIGHT_STRIDES[level]
        straight = limits.landing_m + strides * limits.stride_m
        hand = Hand.of(turn, 0.0 if level == LAST_LEVEL else straight)
        return replace(hand, radius=hand.radius * TIGHTER) if turn in self.tight else hand


TIGHTER = 0.65
"""The share of its radius on which a turn that leads nowhere is looked at."""
STRAIGHT_STRIDES = (2.0, 1.5, 1.0)
"""Straight strides kept at both ends of a turn: two first, fewer only where that leads nowhere
(searched with both at once, the beam lost better layouts)."""
LAST_LEVEL = len(STRAIGHT_STRIDES) - 1


def off_direction(heading: Floats, directions: Floats) -> Floats:
    """Radians (...) from headings to the nearest of some directions, either way round."""
    nearest = np.full(heading.shape, math.pi / 2)
    for direction in directions:
        off = heading - direction
        np.minimum(nearest, np.abs(off - math.pi * np.rint(off / math.pi)), out=nearest)
    return nearest


def ramp(value: Floats, low: float, high: float) -> Floats:
    """0 up to `low`, 1 from `high` on, straight between."""
    return np.clip((value - low) / (high - low), 0.0, 1.0)
