"""In which order fences are set, and from what: each hangs on a line to one that stands.

The first fence is the one that most lines run to. A fence that no line within one tape joins to
what stands is found from the rail, as the first one is. The elements of a combination are read
off one tape, from the first of them that stands to the last.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from typing import Literal

from msgspec import Struct

from diagram.planning import Plan
from diagram.stakeout.lines import TapedLine
from diagram.stakeout.points import RowPoint, row_places

How = Literal["rail", "line", "on the tape"]


class Hung(Struct, frozen=True):
    """One fence in the order of setting. A tape from `start` to `end` carries it, unless it is
    found from the rail; in a combination it lies on the tape from `start` to `beyond`."""

    fence: str
    how: How
    start: RowPoint | None = None
    end: RowPoint | None = None
    beyond: RowPoint | None = None


def order_of_setting(
    plan: Plan, lines: Sequence[TapedLine], tape_m: float, standing: Collection[str] = ()
) -> tuple[Hung, ...]:
    """Every fence that does not stand yet, each after what it hangs on.

    `lines` are those of the ride, in its order; only lines of at most `tape_m` metres carry.
    """
    return tuple(_Order(plan, lines, tape_m, standing).run())


class _Order:
    def __init__(
        self, plan: Plan, lines: Sequence[TapedLine], tape_m: float, standing: Collection[str]
    ) -> None:
        self.plan, self.tape_m = plan, tape_m
        self.places = {f.name: row_places(plan, f) for f in plan.fences}
        self.stands = set(standing)
        ridden = list(dict.fromkeys(c.jump.fence for c in plan.crossings))
        self.names = ridden + [f.name for f in plan.fences if f.name not in ridden]
        ends = [(line.start.point, line.end.point) for line in lines]
        self.lines = [pair for pair in ends if self._length(*pair) <= tape_m]
        self.count = Counter(point.fence for pair in self.lines for point in pair)

    def run(self) -> Iterator[Hung]:
        while left := [name for name in self.names if name not in self.stands]:
            hung = self._by_a_line() or Hung(self._first(left), "rail")
            self.stands.add(hung.fence)
            yield hung
            yield from self._rest_of(hung.fence)

    def _by_a_line(self) -> Hung | None:
        for a, b in self.lines:
            for start, end in ((a, b), (b, a)):
                if start.fence in self.stands and end.fence not in self.stands:
                    return Hung(end.fence, "line", start, end)
        return None

    def _first(self, left: Sequence[str]) -> str:
        """The fence that most lines run to; of a combination, the first one with standards."""
        poles = {f.name for f in self.plan.fences if not f.fence.parts.planes}
        most = max(left, key=lambda name: (self.count[name], name not in poles, -left.index(name)))
        whole = self.plan.fence(most).fence.whole
        mates = [
            n for n in left if n == most or (whole and self.plan.fence(n).fence.whole == whole)
        ]
        return next((name for name in mates if name not in poles), mates[0])

    def _rest_of(self, name: str) -> Iterator[Hung]:
        """The other elements of a combination, on one tape each way from the one that stands."""
        base = self.plan.fence(name)
        whole = base.fence.whole
        if not whole:
            return
        ahead: dict[bool, list[str]] = {True: [], False: []}
        for fence in self.plan.fences:
            if fence.fence.whole == whole and fence.name not in self.stands:
                ahead[fence.pose.seen_from(base.pose).x > 0].append(fence.name)
        for names in ahead.values():
            names.sort(key=lambda other: base.pose.distance(self.plan.fence(other).pose.point))
            *between, last = names or [""]
            if not last:
                continue
            start, end = self._facing(name, last)
            if self._length(start, end) > self.tape_m:
                continue
            self.stands |= set(names)
            yield Hung(last, "line", start, end)
            for other in between:
                yield Hung(other, "on the tape", start, self._facing(name, other)[1], end)

    def _facing(self, one: str, other: str) -> tuple[RowPoint, RowPoint]:
        """The rows of two fences that face each other."""
        pairs = [(a, b) for a in self.places[one] for b in self.places[other]]
        return min(pairs, key=lambda pair: self._length(*pair))

    def _length(self, a: RowPoint, b: RowPoint) -> float:
        return math.dist(self.places[a.fence][a], self.places[b.fence][b])
