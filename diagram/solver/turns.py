"""Limits of the ways that no distance is asked of: turns, and the ways to the first fence and home.

A turn is simplified: out straight, round on a circle, straight across, round on a circle,
straight in. The track is found properly when everything stands.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, Numbers, bearing, towards, wrapped
from diagram.geometry.pose import Pose
from diagram.geometry.region import ALIKE
from diagram.path.arcs import AHEAD_M, SHORTEST_TURN, SHORTEST_TURN_BACK
from diagram.solver.relations import Open, Problem, Turning
from diagram.solver.rows import Ints, RowBlock, Trials, body_columns, offsets, sloped
from diagram.solver.tracks import Ends, Some, Whose

SWING = math.radians(45)
"""How far a rider opens out to the other hand for the sake of a turn (common practice)."""
SHORT_WAY = 0.15
"""Weight for each radian of a turn: between two ways round a rider takes the shorter."""


class Turns(Struct, frozen=True):
    """All turns of a problem. Each brings three unknowns: two straights at its ends, a radius."""

    ends: Ends
    every: Some
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
        ends = Ends.of(some, columns)
        return cls(
            ends,
            ends.some([True for _ in some]),
            np.array([1.0 if r.left else -1.0 for _, r in some]),
            np.array([r.radius for _, r in some]),
            np.array([r.straight for _, r in some]),
        )

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        return self.ends.whose(True, len(ACROSS) + 2)

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[RowBlock], Dual | None]:
        """Round to its hand all the way, and straight at both ends."""
        columns = self.ends.columns
        values = trials.unknowns[:, columns]
        seen = self.ends.seen(values, trials.width(columns))
        out, into, radius = (trials.variable(values, q) for q in (6, 7, 8))
        hand = self.hand
        behind = seen.gap.value.real < AHEAD_M - ALIKE
        shortest = np.where(behind, SHORTEST_TURN_BACK, SHORTEST_TURN)
        net = wrapped(seen.turn * hand, shortest)
        # Centres of the two circles, in the frame of the first end, mirrored for right turns.
        first = out + radius * 1j
        last = _mirrored(seen.gap, hand) + towards(net) * (radius * 1j - into)
        across = last - first
        first_arc = wrapped(bearing(across), -math.pi / 2)
        last_arc = net - first_arc
        rows = self.every.rows
        blocks = [
            *rows("limit", "turn away first", (first_arc + SWING) * self.radius, 3.0),
            *rows("limit", "turn away last", (last_arc + SWING) * self.radius, 3.0),
            *rows("limit", "radius", radius - self.radius, 2.0),
            *rows("limit", "straight after", out - self.straight, 4.0),
            *rows("limit", "straight before", into - self.straight, 4.0),
            *rows("wish", "short way round", net * SHORT_WAY),
        ]
        if not tracked:
            return blocks, None
        angle = first_arc.spread() * ON_FIRST + last_arc.spread() * ON_LAST
        spoke = (radius * -1j).spread() * towards(angle)
        places = first.spread() + across.spread() * ACROSS + spoke
        return blocks, seen.laid(_mirrored(places, hand[:, None]))


_ARC, _LINE = np.linspace(0.2, 1.0, 5), np.linspace(0.15, 0.85, 4)
ON_FIRST = np.concatenate([_ARC, np.ones(9)])
ACROSS = np.concatenate([np.zeros(5), _LINE, np.ones(5)])
ON_LAST = np.concatenate([np.zeros(9), _ARC - _ARC[0]])
"""For each place on a turn: the share of the first arc, of the way from circle to circle, and of
the last arc that is behind it."""


def _mirrored(places: Dual, hand: Floats) -> Dual:
    """Places with left and right changed where the `hand` is -1."""
    return places.real + places.imag * (1j * hand)


class Opens(Struct, frozen=True):
    """The ways to the first fence and from the last: places that have to be free."""

    columns: Ints
    places: Numbers
    own: Ints
    rail_only: NDArray[np.bool_]

    @classmethod
    def of(cls, problem: Problem) -> Opens | None:
        """None when there are none."""
        if not problem.opens:
            return None
        bodies = [way.end.body for way in problem.opens]
        ends, headings = offsets([way.end.pose for way in problem.opens])
        ahead = np.array([open_places(way, problem) for way in problem.opens])
        return cls(
            body_columns(bodies),
            ends[:, None] + np.exp(1j * headings)[:, None] * ahead,
            np.array([bodies, bodies]).T,
            np.array([way.left is None for way in problem.opens]),
        )

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        about = tuple((1, n) for n in range(len(self.own)))
        return Whose(self.columns, self.own, False, about, self.places.shape[1], self.rail_only)

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[RowBlock], Dual | None]:
        """No equations; the track alone."""
        if not tracked:
            return [], None
        values = trials.unknowns[:, self.columns, None]
        arm = np.exp(1j * values[:, :, 2]) * self.places
        place = values[:, :, 0] + 1j * values[:, :, 1] + arm
        return [], sloped(place, trials.width(self.columns), 1, 1j, 1j * arm)


def open_places(way: Open, problem: Problem) -> list[complex]:
    """Four places in the frame of the end that the way needs free.

    Straight on, the last of them is held against the rail alone: a fence can be ridden past.
    """
    manner = problem.limits.canter.manner
    if way.left is None:
        # Two straight strides, and room to come off a rail that lies under half a right angle:
        # with one that lies square to it the turn takes twice as much.
        if way.short:
            return [complex(share * manner.out) for share in (0.4, 0.7, 0.9, 1.0)]
        least = manner.wanted_straight
        last = max(
            least + way.radius * math.tan(math.pi / 8), 0 if way.approach else manner.liked_straight
        )
        return [complex(metres) for metres in (0.4 * least, 0.7 * least, least, last)]
    hand, radius = (1 if way.left else -1), way.radius
    if way.back:
        # Three arcs of one radius: out to the other hand, round, and into line again. Their centres
        # are the corners of a triangle whose sides are two radii.
        far = manner.out + radius * math.sqrt(3)
        return [complex(far, -radius), complex(far + radius, 0.0), complex(far, radius),
                complex(far - radius * math.sqrt(3) / 2, -hand * radius / 2)]  # fmt: skip
    start = Pose(manner.out, 0.0, 0.0)
    angles = (90, 180, 270, 340) if way.circle else (25, 45, 70, 90)
    return [
        complex(*start.ahead(radius * math.sin(a), hand * radius * (1 - math.cos(a))).point)
        for a in map(math.radians, angles)
    ]
