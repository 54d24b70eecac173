"""The builder's leaf: every reading that sets the fences line by line, and what checks them.

The leaf, its CSV and its JSON read this value and reckon nothing of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct

from diagram.geometry.pose import Pose
from diagram.planning import Plan
from diagram.stakeout.crew import Crew
from diagram.stakeout.hanging import order_of_setting
from diagram.stakeout.known import TWO_SIGMA
from diagram.stakeout.lines import TapedLine
from diagram.stakeout.pegs import Peg
from diagram.stakeout.points import RowPoint, row_places
from diagram.stakeout.taped import Taped
from diagram.stakeout.taping import tape_fences


class Check(Struct, frozen=True):
    """A length to read when everything stands, between the middles of two rows.

    `read_m` is rounded. In 95 of 100 settings the length comes out within `error_m`, and a tape
    then reads it within `within_m`. `off` is the fence to be moved where it does not; empty where
    a direction was misread.
    """

    start: RowPoint
    end: RowPoint
    read_m: float
    exact_m: float
    error_m: float
    within_m: float
    strides: int | None
    bend: bool
    off: str

    @property
    def is_line(self) -> bool:
        """Whether it is a line of the ride; else it closes the figure."""
        return bool(self.off)


class Leaf(Struct, frozen=True):
    """Fences in the order of setting, the checks, and how well places and lines come out.

    `places_m` and `lines_m` hold in 95 of 100 settings with readings right to `reading_m`, in 95
    of 100 as well; rounding is in them.
    """

    fences: tuple[Taped, ...]
    checks: tuple[Check, ...]
    reading_m: float
    places_m: float
    lines_m: float

    @property
    def pegs(self) -> tuple[Peg, ...]:
        """Every peg, in the order in which it is set."""
        return tuple(peg for fence in self.fences for peg in fence.pegs)

    @property
    def longest_m(self) -> float:
        """The longest reading that sets a fence."""
        return max((m for f in self.fences for r in f.readings for m in r.read_m), default=0.0)

    @property
    def count(self) -> int:
        """How many readings set the fences."""
        return sum(len(r.read_m) for fence in self.fences for r in fence.readings)


def leaf_of(
    plan: Plan, lines: Sequence[TapedLine], crew: Crew, standing: Mapping[str, Pose] | None = None,
    pegs_before: int = 0,
) -> Leaf:  # fmt: skip
    """The leaf of a plan. `standing` are fences that are there already, as first jumped; pegs are
    numbered on from `pegs_before`."""
    there = dict(standing or {})
    order = order_of_setting(plan, lines, crew.tape_length, there)
    fences = tape_fences(plan, order, crew, there, pegs_before)
    checks = tuple(_Checks(plan, lines, crew, fences).all())
    kept = [check for check in checks if check.is_line]
    reading = TWO_SIGMA * crew.tape_error
    return Leaf(
        fences,
        checks,
        reading,
        max((fence.error_m for fence in fences), default=0.0),
        max((check.error_m for check in kept), default=0.0),
    )


LEAST_CHECK_M = 2.0
"""Metres below which a length between two fences checks nothing."""


class _Checks:
    """Lengths between fences, one of which at least has been set."""

    def __init__(
        self, plan: Plan, lines: Sequence[TapedLine], crew: Crew, fences: Sequence[Taped]
    ) -> None:
        self.plan, self.lines, self.crew = plan, lines, crew
        self.taped = {fence.name: fence for fence in fences}
        self.order = {fence.name: n for n, fence in enumerate(fences)}

    def all(self) -> Iterator[Check]:
        for line in self.lines:
            a, b = line.start.point, line.end.point
            if not {a.fence, b.fence} & set(self.taped):
                continue
            yield self._check(a, b, line.strides, line.bend, self._to_move(a.fence, b.fence))
        closing = self._closing()
        if closing:
            yield self._check(*closing, None, False, "")

    def _to_move(self, *names: str) -> str:
        """The end of a line that was set later: what was set before it has been checked before."""
        return max((name for name in names if name in self.taped), key=self.order.__getitem__)

    def _check(self, a: RowPoint, b: RowPoint, strides: int | None, bend: bool, off: str) -> Check:
        exact, bias, sigma = self._between(a, b)
        error = bias + TWO_SIGMA * sigma
        within = bias + TWO_SIGMA * math.hypot(sigma, self.crew.reading_error(exact))
        read = round(exact / self.crew.rounding) * self.crew.rounding
        return Check(a, b, read, exact, error, within, strides, bend, off)

    def _between(self, a: RowPoint, b: RowPoint) -> tuple[float, float, float]:
        """Planned length, how much rounding changes it, and its standard error as set."""
        planned = [row_places(self.plan, self.plan.fence(p.fence))[p] for p in (a, b)]
        exact = math.dist(*planned)
        unit = [(planned[1][n] - planned[0][n]) / exact for n in (0, 1)]
        places, drift = [], 0.0
        for point, at, sign in zip((a, b), planned, (-1.0, 1.0), strict=True):
            fence = self.taped.get(point.fence)
            if fence is None:
                places.append(at)
                continue
            local = Pose(*at, 0.0).seen_from(fence.plan)
            places.append(fence.stands.place(local.x, local.y))
            moved = fence.stands.drift_at(local.x, local.y)
            drift = drift + sign * (unit[0] * moved[0] + unit[1] * moved[1])
        sigma = math.sqrt(float((drift**2).sum())) if not isinstance(drift, float) else 0.0
        return exact, abs(math.dist(*places) - exact), sigma

    def _closing(self) -> tuple[RowPoint, RowPoint] | None:
        """Two fences whose distance nothing else has told, and is known least."""
        told = {frozenset((line.start.fence, line.end.fence)) for line in self.lines}
        for fence in self.taped.values():
            for reading in fence.readings:
                told.add(frozenset((fence.name, reading.start.partition(" of ")[2])))
        fences = list(self.taped.values())
        rows = [next(iter(row_places(self.plan, fence.placed).items())) for fence in fences]
        places = np.array([at for _, at in rows]).reshape(-1, 2)
        local = [Pose(*at, 0.0).seen_from(f.plan) for f, (_, at) in zip(fences, rows, strict=True)]
        moved = [f.stands.drift_at(p.x, p.y) for f, p in zip(fences, local, strict=True)]
        best = None
        for n, one in enumerate(fences):
            exact = np.hypot(*(places[n + 1 :] - places[n]).T)
            for m, other in enumerate(fences[n + 1 :], n + 1):
                whole = one.placed.fence.whole
                near = exact[m - n - 1] < LEAST_CHECK_M or self.crew.joined(exact[m - n - 1])
                if near or (whole and whole == other.placed.fence.whole):
                    continue
                if frozenset((one.name, other.name)) in told:
                    continue
                unit = (places[m] - places[n]) / exact[m - n - 1]
                sigma = float(np.linalg.norm(unit @ (moved[m] - moved[n])))
                if best is None or sigma > best[0] + 1e-9:
                    best = (sigma, rows[n][0], rows[m][0])
        return best and (best[1], best[2])
