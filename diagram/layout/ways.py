"""Equations and limits of the ways that a distance is asked of: straight lines and bends.

The curves are those of `geometry.bend` and `geometry.corner`, written with duals, so that what
is placed here is what is drawn and measured later.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diagram.geometry.corner import EASE, reaches
from diagram.geometry.curve import Floats
from diagram.geometry.dual import Dual, chained, towards, within, wrapped
from diagram.layout.relations import Bending, Problem, Straight, Turning
from diagram.layout.rows import LEVER_M, Block, Trials, block
from diagram.layout.tracks import Ends, Whose, pick

LEAST_BEND, MOST_BEND = math.radians(15), math.radians(150)
"""A bend of less is ridden as a line, one of more as a turn (common practice, no source)."""
EVEN = 0.05
"""Weight of the wish that a bend lies evenly between its fences."""

Chosen = tuple[int, ...]


def extra_columns(problem: Problem) -> dict[int, int]:
    """First column of the unknowns that a relation brings, by its number."""
    at, count = {}, 3 * len(problem.bodies)
    for number, relation in enumerate(problem.relations):
        if isinstance(relation, Bending):
            at[number], count = count, count + 1
        elif isinstance(relation, Turning):
            at[number], count = count, count + 3
    return at


def _where(flags: Sequence[bool]) -> Chosen:
    return tuple(i for i, flag in enumerate(flags) if flag)


@dataclass(frozen=True, slots=True)
class Lines:
    """All straight lines of a problem."""

    ends: Ends
    asked: Chosen
    said: Chosen
    free: Chosen
    length: Floats
    least: Floats

    @classmethod
    def of(cls, problem: Problem) -> Lines | None:
        """None when there are none."""
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, Straight)]
        if not some:
            return None
        lines = [r for _, r in some]
        asked = [not r.given for r in lines]
        said = _where([a and r.length is not None for a, r in zip(asked, lines, strict=True)])
        free = _where([a and r.length is None for a, r in zip(asked, lines, strict=True)])
        return cls(
            Ends.of(some), _where(asked), said, free,
            np.array([lines[i].length for i in said], dtype=float),
            np.array([lines[i].least for i in free], dtype=float),
        )  # fmt: skip

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        return self.ends.whose(False, len(ON_LINE))

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[Block], Dual | None]:
        """In line, square to it, and as long as said; and the track, if wanted."""
        ends = self.ends
        values = trials.unknowns[:, ends.columns]
        seen = ends.seen(values, trials.width(ends.columns))
        ahead = seen.gap.real
        blocks = []
        for sort, what, row, chosen, scale in (
            ("must", "aside", seen.gap.imag, self.asked, None),
            ("must", "heading", wrapped(seen.turn) * LEVER_M, self.asked, None),
            ("must", "length", pick(ahead, self.said) - self.length, self.said, None),
            ("limit", "too near", pick(ahead, self.free) - self.least, self.free, None),
        ):
            if chosen:
                kept = row if what in ("length", "too near") else pick(row, chosen)
                columns, about = ends.columns[list(chosen)], ends.about(chosen)
                blocks.append(block(sort, what, kept, columns, about, scale))  # type: ignore[arg-type]
        if not tracked:
            return blocks, None
        return blocks, seen.first.spread() * (1 - ON_LINE) + seen.second.spread() * ON_LINE


ON_LINE = np.linspace(0.05, 0.95, 7)
"""Shares of a line at which it is looked at."""


@dataclass(frozen=True, slots=True)
class Bends:
    """All bends of a problem. The radius of each is an unknown of its own."""

    ends: Ends
    hand: Floats
    asked: Chosen
    said: Chosen
    angled: Chosen
    ranged: Chosen
    length: Floats
    turn: Floats
    between: Floats
    radius: Floats
    straight: Floats

    @classmethod
    def of(cls, problem: Problem, extra: dict[int, int]) -> Bends | None:
        """None when there are none."""
        some = [(n, r) for n, r in enumerate(problem.relations) if isinstance(r, Bending)]
        if not some:
            return None
        bends = [r for _, r in some]
        said = _where([not r.given and r.length is not None for r in bends])
        angled = _where([not r.given and r.turn is not None for r in bends])
        ranged = _where([not r.given and r.between is not None for r in bends])
        return cls(
            Ends.of(some, [[extra[n] for n, _ in some]]),
            np.array([1.0 if r.left else -1.0 for r in bends]),
            _where([not r.given for r in bends]), said, angled, ranged,
            np.array([bends[i].length for i in said], dtype=float),
            np.array([bends[i].turn for i in angled], dtype=float),
            np.array([bends[i].between for i in ranged], dtype=float).reshape(-1, 2),
            np.array([r.radius for r in bends]),
            np.array([r.straight for r in bends]),
        )  # fmt: skip

    @property
    def whose(self) -> Whose:
        """What their tracks belong to."""
        return self.ends.whose(False, len(ROUND_FIRST) + 2)

    def rows(self, trials: Trials, tracked: bool) -> tuple[list[Block], Dual | None]:
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
        unit = chained(*reaches(held.value), held)
        arm = radius * unit
        begin, end = before - arm, after - arm
        track = before + after - radius * (unit * 2.0 - held * (1 + 2 * EASE))
        blocks = self._musts(turn, track)
        for what, row, scale in (
            ("hand", (turn - LEAST_BEND) * LEVER_M, None),
            ("too far round", (-turn + MOST_BEND) * LEVER_M, None),
            ("radius", radius - self.radius, 5.0),
            ("straight after", begin - self.straight, 2.0),
            ("straight before", end - self.straight, 2.0),
        ):
            if self.asked:
                blocks.append(self._block("limit", what, pick(row, self.asked), self.asked, scale))
        every = tuple(range(len(self.hand)))
        blocks.append(self._block("wish", "even", (before - after) * EVEN, every))
        if not tracked:
            return blocks, None
        # A parabola through both ends of the corner with its vertex: within 15 cm of the track.
        corner = swing.spread() * ROUND_LAST - ROUND_FIRST
        return blocks, seen.laid(before.spread() + arm.spread() * corner)

    def _musts(self, turn: Dual, track: Dual) -> list[Block]:
        """Length and angle where they are said, or the range of lengths of a second way."""
        out = []
        if self.said:
            out.append(
                self._block("must", "length", pick(track, self.said) - self.length, self.said)
            )
        if self.angled:
            row = (pick(turn, self.angled) - self.turn) * LEVER_M
            out.append(self._block("must", "turn", row, self.angled))
        if self.ranged:
            low, high = self.between.T
            own = pick(track, self.ranged)
            out.append(self._block("limit", "too short", own - low, self.ranged))
            out.append(self._block("limit", "too long", -own + high, self.ranged))
        return out

    def _block(
        self, sort: str, what: str, row: Dual, chosen: Chosen, scale: float | None = None
    ) -> Block:
        columns, about = self.ends.columns[list(chosen)], self.ends.about(chosen)
        return block(sort, what, row, columns, about, scale)  # type: ignore[arg-type]


_ROUND = np.linspace(0, 1, 5)
ROUND_FIRST, ROUND_LAST = (1 - _ROUND) ** 2, _ROUND**2
"""Shares of a corner's two arms that a place on the parabola lies back from the vertex and on."""
