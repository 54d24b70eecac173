"""Limits of the ways that no distance is asked of: turns, and the ways to the first fence and home.

A turn is simplified: out straight, round on a circle, straight across, round on a circle,
straight in. The track is found properly when everything stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, atan2, cos, sin, wrapped
from diagram.geometry.pose import Pose
from diagram.layout.relations import Open, Problem, Turning
from diagram.layout.rows import Block, Frame, Ints, Trials, block, body_columns, offsets
from diagram.layout.tracks import Ends, Track, Whose, one_after_another

SWING = math.radians(45)
"""How far a rider opens out to the other hand for the sake of a turn (common practice)."""
SHORT_WAY = 0.15
"""Weight for each radian of a turn: between two ways round a rider takes the shorter."""


@dataclass(frozen=True, slots=True)
class Turns:
    """All turns of a problem. Each brings three unknowns: two straights at its ends, a radius."""

    ends: Ends
    hand: Floats
    radius: Floats
    straight: Floats

    @classmethod
    def of(cls, problem: Problem, extra: dict[int, int]) -> Turns | None:
        """None when there are none."""
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, Turning)]
        if not some:
            return None
        columns = [[extra[n] + k for n, _ in some] for k in range(3)]
        return cls(
            Ends.of(some, columns),
            np.array([1.0 if r.left else -1.0 for _, r in some]),
            np.array([r.radius for _, r in some]),
            np.array([r.straight for _, r in some]),
        )

    @property
    def whose(self) -> Whose:
        """The rows of the track."""
        return self.ends.whose(looks_back=True)

    def rows(self, trials: Trials) -> tuple[list[Block], Track]:
        """Round to its hand all the way, and straight at both ends."""
        columns = self.ends.columns
        values = trials.unknowns[:, columns]
        first, ahead, left, heading = self.ends.seen(values, trials.width(columns))
        out, into, radius = (trials.variable(values, q) for q in (6, 7, 8))
        hand = self.hand
        net = wrapped(heading * hand, math.radians(15))
        # Centres of the two circles, in the frame of the first end, mirrored for right turns.
        c, s = cos(net), sin(net)
        last_x = ahead - into * c - s * radius
        last_y = left * hand - into * s + c * radius
        across_x, across_y = last_x - out, last_y - radius
        first_arc = wrapped(atan2(across_y, across_x), -math.pi / 2)
        last_arc = net - first_arc
        blocks = [
            self._block("turn away first", (first_arc + SWING) * self.radius, 3.0),
            self._block("turn away last", (last_arc + SWING) * self.radius, 3.0),
            self._block("radius", radius - self.radius, 2.0),
            self._block("straight after", out - self.straight, 4.0),
            self._block("straight before", into - self.straight, 4.0),
            replace(self._block("short way round", net * SHORT_WAY), sort="wish"),
        ]
        wide = radius.spread()
        swept = first_arc.spread() * ROUND_TURN
        x1, y1 = out.spread() + sin(swept) * wide, wide - cos(swept) * wide
        tangent_x, tangent_y = sin(first_arc) * radius, radius - cos(first_arc) * radius
        x2 = (out + tangent_x).spread() + across_x.spread() * ACROSS
        y2 = tangent_y.spread() + across_y.spread() * ACROSS
        rest = first_arc.spread() + last_arc.spread() * (ROUND_TURN - ROUND_TURN[0])
        x3, y3 = last_x.spread() + sin(rest) * wide, last_y.spread() - cos(rest) * wide
        start_x, start_y = (ahead * 0.0).spread(), (left * 0.0).spread()
        x = one_after_another(start_x, x1, x2, x3, ahead.spread())
        y = one_after_another(start_y, y1, y2, y3, (left * hand).spread()) * hand[:, None]
        return blocks, Track(*first.world(x, y))

    def _block(self, what: str, row: Dual, scale: float | None = None) -> Block:
        about = self.ends.about(range(len(self.hand)))
        return block("limit", what, row, self.ends.columns, about, scale)


ROUND_TURN = np.linspace(0.2, 1.0, 5)
ACROSS = np.linspace(0.15, 0.85, 4)


@dataclass(frozen=True, slots=True)
class Opens:
    """The ways to the first fence and from the last: places that have to be free."""

    columns: Ints
    ends: Floats
    places: Floats
    own: Ints

    @classmethod
    def of(cls, problem: Problem) -> Opens | None:
        """None when there are none."""
        if not problem.opens:
            return None
        bodies = [way.end.body for way in problem.opens]
        return cls(
            body_columns(bodies),
            offsets([way.end.pose for way in problem.opens]),
            np.array([_open_places(way, problem) for way in problem.opens]),
            np.array([bodies, bodies]).T,
        )

    @property
    def whose(self) -> Whose:
        """The rows of the track."""
        back = np.zeros(len(self.own), dtype=bool)
        return Whose(self.columns, self.own, back, tuple((1, n) for n in range(len(self.own))))

    def rows(self, trials: Trials) -> tuple[list[Block], Track]:
        """No equations; the track alone."""
        frame = Frame.of(*trials.locals_of(self.columns)).placed(self.ends)
        zero = (frame.x * 0.0).spread()
        x, y = frame.world(zero + self.places[..., 0], zero + self.places[..., 1])
        return [], Track(x, y)


def _open_places(way: Open, problem: Problem) -> list[tuple[float, float]]:
    """Four places in the frame of the end that the way needs free."""
    manner = problem.limits.canter.manner
    if way.left is None:
        needed = manner.wanted_straight if way.approach else manner.liked_straight
        return [(float(needed * part), 0.0) for part in np.linspace(0.4, 1.0, 4)]
    start = Pose(manner.out, 0.0, 0.0)
    angles = (90, 180, 270, 340) if way.circle else (25, 45, 70, 90)
    hand, radius = (1 if way.left else -1), way.radius
    return [
        start.ahead(
            radius * math.sin(math.radians(a)), hand * radius * (1 - math.cos(math.radians(a)))
        ).point
        for a in angles
    ]
