"""Equations and limits of the ways that a distance is asked of: straight lines and bends.

The curves are those of `geometry.bend` and `geometry.corner`, written with duals, so that what
is placed here is what is drawn and measured later.
"""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from diagram.geometry.corner import reaches, run, run_slope
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, chained, towards, within, wrapped
from diagram.solver.relations import Bending, Problem, Straight, Turning
from diagram.solver.rows import LEVER_M, RowBlock, Trials
from diagram.solver.tracks import Ends, Some, Whose

LEAST_BEND, MOST_BEND = math.radians(15), math.radians(150)
"""A bend of less is ridden as a line, one of more as a turn (common practice, no source)."""
LIKED = 0.3
"""Weight of the wish that a bend of which less is said has the radius and straights liked."""
EVEN = 0.05
"""Weight of the wish that a bend lies evenly between its fences."""


def extra_columns(problem: Problem) -> dict[int, int]:
    """First column of the unknowns that a relation brings, by its number."""
    at, count = {}, 3 * len(problem.bodies)
    for number, relation in enumerate(problem.relations):
        if isinstance(relation, Bending):
            at[number], count = count, count + 1
        elif isinstance(relation, Turning):
            at[number], count = count, count + 3
    return at


class Lines(Struct, frozen=True):
    """All straight lines of a problem: those with a `length` that is `said`, and those `free`."""

    ends: Ends
    asked: Some
    said: Some
    free: Some
    length: Floats
    least: Floats

    @classmethod
    def of(cls, problem: Problem) -> Lines | None:
        """None when there are none."""
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, Straight)]
        if not some:
            return None
        ends, lines = Ends.of(some), [r for _, r in some]
        return cls(
            ends,
            ends.some([not r.given for r in lines]),
            ends.some([not r.given and r.length is not None for r in lines]),
            ends.some([not r.given and r.length is None for r in lines]),
            np.array([r.length or 0.0 for r in lines]),
            np.array([r.least for r in lines]),
        )

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        return self.ends.whose(False, len(ON_LINE))

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[RowBlock], Dual | None]:
        """In line, square to it, and as long as said; and the track, if wanted."""
        columns = self.ends.columns
        seen = self.ends.seen(trials.unknowns[:, columns], trials.width(columns))
        ahead = seen.gap.real
        blocks = [
            *self.asked.rows("must", "aside", seen.gap.imag),
            *self.asked.rows("must", "heading", wrapped(seen.turn) * LEVER_M),
            *self.said.rows("must", "length", ahead - self.length),
            *self.free.rows("limit", "too near", ahead - self.least),
        ]
        if not tracked:
            return blocks, None
        return blocks, seen.first.spread() * (1 - ON_LINE) + seen.second.spread() * ON_LINE


ON_LINE = np.linspace(0.05, 0.95, 7)
"""Shares of a line at which it is looked at."""


class Bends(Struct, frozen=True):
    """All bends of a problem. The radius of each is an unknown of its own."""

    ends: Ends
    hand: Floats
    every: Some
    asked: Some
    said: Some
    angled: Some
    ranged: Some
    length: Floats
    turn: Floats
    between: Floats
    radius: Floats
    straight: Floats
    round: Some
    eased: Some
    exact: Some
    liked: Some
    arc: NDArray[np.bool_]
    exactly: Floats
    wanted: Floats

    @classmethod
    def of(cls, problem: Problem, extra: dict[int, int]) -> Bends | None:
        """None when there are none."""
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, Bending)]
        if not some:
            return None
        ends, bends = Ends.of(some, [[extra[n] for n, _ in some]]), [r for _, r in some]
        return cls(
            ends,
            np.array([1.0 if r.left else -1.0 for r in bends]),
            ends.some([True for _ in bends]),
            ends.some([not r.given for r in bends]),
            ends.some([not r.given and r.length is not None for r in bends]),
            ends.some([not r.given and r.turn is not None for r in bends]),
            ends.some([not r.given and r.between is not None for r in bends]),
            np.array([r.length or 0.0 for r in bends]),
            np.array([r.turn or 0.0 for r in bends]),
            np.array([r.between or (0.0, 0.0) for r in bends]),
            np.array([r.radius for r in bends]),
            np.array([r.straight for r in bends]),
            ends.some([not r.given and r.round for r in bends]),
            ends.some([not r.given and not r.round for r in bends]),
            ends.some([not r.given and r.exact is not None for r in bends]),
            ends.some([not r.given and r.liked is not None for r in bends]),
            np.array([r.round for r in bends]),
            np.array([r.exact or 0.0 for r in bends]),
            np.array([r.liked or (0.0, 0.0) for r in bends]),
        )

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        return self.ends.whose(False, len(ROUND_FIRST) + 2)

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[RowBlock], Dual | None]:
        """As long and as far round as said; to its hand, wide enough, straight at both ends."""
        columns = self.ends.columns
        values = trials.unknowns[:, columns]
        seen = self.ends.seen(values, trials.width(columns))
        radius = trials.variable(values, 6)
        turn = wrapped(seen.turn * self.hand, -math.pi / 3)
        held = within(turn, math.radians(8), math.radians(162))
        swing = towards(held * self.hand)
        after = seen.gap.imag / swing.imag
        before = seen.gap.real - after * swing.real
        unit, round_it = self._units(held)
        arm = radius * unit
        begin, end = before - arm, after - arm
        track = before + after - radius * (unit * 2.0 - round_it)
        low, high = self.between.T
        blocks = [
            *self.said.rows("must", "length", track - self.length),
            *self.angled.rows("must", "turn", (turn - self.turn) * LEVER_M),
            *self.ranged.rows("limit", "too short", track - low),
            *self.ranged.rows("limit", "too long", -track + high),
            *self.asked.rows("limit", "hand", (turn - LEAST_BEND) * LEVER_M),
            *self.asked.rows("limit", "too far round", (-turn + MOST_BEND) * LEVER_M),
            *self.asked.rows("limit", "radius", radius - self.radius, 5.0),
            *self.eased.rows("limit", "straight after", begin - self.straight, 2.0),
            *self.eased.rows("limit", "straight before", end - self.straight, 2.0),
            *self.round.rows("must", "round", begin),
            *self.round.rows("must", "round", end),
            *self.exact.rows("must", "radius", radius - self.exactly),
            *self.liked.rows("wish", "radius", (radius - self.wanted[:, 0]) * LIKED),
            *self.liked.rows("wish", "straight", (begin - self.wanted[:, 1]) * LIKED),
            *self.liked.rows("wish", "straight", (end - self.wanted[:, 1]) * LIKED),
            *self.every.rows("wish", "even", (before - after) * EVEN),
        ]
        if not tracked:
            return blocks, None
        # A parabola through both ends of the corner with its vertex: within 15 cm of the track.
        corner = swing.spread() * ROUND_LAST - ROUND_FIRST
        return blocks, seen.laid(before.spread() + arm.spread() * corner)

    def _units(self, turn: Dual) -> tuple[Dual, Dual]:
        """Reach and length of corners of radius 1 m, and of plain arcs where a bend is round."""
        reach, slope = reaches(turn.value)
        half = np.tan(turn.value / 2)
        reach, slope = np.where(self.arc, half, reach), np.where(self.arc, (1 + half**2) / 2, slope)
        length = np.where(self.arc, turn.value, run(turn.value))
        return (
            chained(reach, slope, turn),
            chained(length, np.where(self.arc, 1.0, run_slope(turn.value)), turn),
        )


_ROUND = np.linspace(0, 1, 5)
ROUND_FIRST, ROUND_LAST = (1 - _ROUND) ** 2, _ROUND**2
"""Shares of a corner's two arms that a place on the parabola lies back from the vertex and on."""
