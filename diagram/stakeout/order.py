"""The order of work in which the crew walks and carries least.

Any cost that is known fence by fence, from what has been set and where the crew stands, can be
made least: exactly for few fences (Held and Karp's dynamic programme over sets, 1962), for
more by insertion and improvement (reversals and moved stretches, until none helps).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import combinations
from typing import Protocol

from diagram.geometry.pose import Point

EXACT = 9
"""Up to so many fences the order is the best there is; the work doubles with each one more."""

MANY, STARTS = 16, 6
"""Greedy orders that are improved: `STARTS` and two more, or three of `MANY` fences and above."""


class Cost(Protocol):
    """What it costs to set one fence after others. Fences are counted from 0, sets are bits."""

    def step(self, done: int, last: int, following: int) -> float:
        """Metres walked for `following` when `done` stand and `last` was set last (-1: none)."""

    def end(self, done: int, last: int) -> float:
        """Metres walked when everything stands."""

    def total(self, order: Iterable[int]) -> float:
        """Metres walked for a whole order: all steps and the end."""


def total_cost(order: Iterable[int], cost: Cost) -> float:
    """Metres walked for a whole order, step by step; `cost.total` is the same, only faster."""
    done, last, total = 0, -1, 0.0
    for fence in order:
        total += cost.step(done, last, fence)
        done, last = done | 1 << fence, fence
    return total + cost.end(done, last)


def best_order(count: int, cost: Cost) -> tuple[int, ...]:
    """The order in which `count` fences cost least; of equals, the first by number."""
    return exact_order(count, cost) if count <= EXACT else good_order(count, cost)


def exact_order(count: int, cost: Cost) -> tuple[int, ...]:
    """The best order of all, over every set of fences that may stand."""
    if count == 0:
        return ()
    best: dict[tuple[int, int], tuple[float, int]] = {
        (1 << n, n): (cost.step(0, -1, n), -1) for n in range(count)
    }
    for done in range(1, 1 << count):
        for last in range(count):
            if (done, last) not in best:
                continue
            here = best[done, last][0]
            for n in range(count):
                if done >> n & 1:
                    continue
                state, value = (done | 1 << n, n), here + cost.step(done, last, n)
                if state not in best or value < best[state][0] - 1e-9:
                    best[state] = (value, last)
    full = (1 << count) - 1
    last = min(range(count), key=lambda n: round(best[full, n][0] + cost.end(full, n), 9))
    order, done = [], full
    while last >= 0:
        order.append(last)
        done, last = done & ~(1 << last), best[done, last][1]
    return tuple(reversed(order))


def good_order(count: int, cost: Cost) -> tuple[int, ...]:
    """A good order for many fences: the best of several greedy ones, each improved."""
    starts = sorted(range(count), key=lambda n: cost.step(0, -1, n))
    tries = [*starts[:2], starts[-1]] if count > MANY else [*starts[:STARTS], *starts[-2:]]
    orders = [_improved(_greedy(first, count, cost), cost) for first in dict.fromkeys(tries)]
    return tuple(min(orders, key=lambda order: round(cost.total(order), 9)))


def _greedy(first: int, count: int, cost: Cost) -> list[int]:
    order, done = [first], 1 << first
    while len(order) < count:
        left = [n for n in range(count) if not done >> n & 1]
        following = min(left, key=lambda n: cost.step(done, order[-1], n))
        order.append(following)
        done |= 1 << following
    return order


def _improved(order: list[int], cost: Cost) -> list[int]:
    """Reversed stretches and moved pieces, taken whenever they help, until none does."""
    best, value = order, cost.total(order)
    better = True
    while better:
        better = False
        for change in _changes(len(order)):
            other = change(best)
            cheaper = cost.total(other)
            if cheaper < value - 1e-9:
                best, value, better = other, cheaper, True
    return best


def _changes(count: int) -> Iterator[Callable[[list[int]], list[int]]]:
    for i, j in combinations(range(count + 1), 2):
        if j - i > 1:
            yield partial(_reversed, begin=i, end=j)
    for length in (1, 2, 3):
        for i in range(count - length + 1):
            for to in range(count - length + 1):
                if to != i:
                    yield partial(_moved, begin=i, length=length, to=to)


def _reversed(order: list[int], begin: int, end: int) -> list[int]:
    return order[:begin] + order[begin:end][::-1] + order[end:]


def _moved(order: list[int], begin: int, length: int, to: int) -> list[int]:
    piece, rest = order[begin : begin + length], order[:begin] + order[begin + length :]
    return rest[:to] + piece + rest[to:]


@dataclass(frozen=True)
class FromStore:
    """Setting up an empty arena: everything is carried from one store.

    Each of `people` carries one load at a time. A walk that is not full for one fence takes
    along loads for the next. The tapes and tools go from fence to fence as well, and that walk
    counts too.
    """

    store: Point
    places: tuple[Point, ...]
    loads: tuple[int, ...]
    people: int

    @cached_property
    def _home(self) -> list[float]:
        return [math.dist(self.store, place) for place in self.places]

    @cached_property
    def _between(self) -> list[list[float]]:
        return [[math.dist(a, b) for b in self.places] for a in self.places]

    def _left(self, done: int) -> int:
        """Hands still free on the walk that carried the last load."""
        carried = sum(load for n, load in enumerate(self.loads) if done >> n & 1)
        return -carried % self.people

    def step(self, done: int, last: int, following: int) -> float:
        """Carrying to `following`, and the tools to it."""
        return self._step(self._left(done), last, following)

    def _step(self, free: int, last: int, following: int) -> float:
        """The same with so many hands free at the last fence."""
        out, load = self._home[following], self.loads[following]
        walked = out if last < 0 else self._between[last][following]
        taken = min(free, load)
        if taken:
            # The crew is at the last fence and goes on from there with what it still holds.
            walked += self._between[last][following]
            if load > taken or free == load:
                walked += out
        full, part = divmod(load - taken, self.people)
        return walked + full * 2 * out + (out if part else 0.0)

    def end(self, done: int, last: int) -> float:
        """The way home, with the tools and, if the last walk was not full, the crew."""
        return self._end(self._left(done), last)

    def _end(self, free: int, last: int) -> float:
        if last < 0:
            return 0.0
        return self._home[last] * (2 if free else 1)

    def total(self, order: Iterable[int]) -> float:
        """Metres walked for a whole order."""
        free, last, total = 0, -1, 0.0
        for fence in order:
            total += self._step(free, last, fence)
            free, last = (free - self.loads[fence]) % self.people, fence
        return total + self._end(free, last)
