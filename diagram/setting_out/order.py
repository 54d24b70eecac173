"""The order of work in which the crew walks and carries least.

Any cost that is known fence by fence, from what has been set and where the crew stands, can be
made least: exactly for few fences (Held and Karp's dynamic programme over sets, 1962), for
more by insertion and improvement (reversals and moved stretches, until none helps).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from diagram.geometry.pose import Point

EXACT = 9
"""Up to so many fences the order is the best there is; the work doubles with each one more."""

HEURISTIC_STARTS = 6


class Cost(Protocol):
    """What it costs to set one fence after others. Fences are counted from 0, sets are bits."""

    def step(self, done: int, last: int, following: int) -> float:
        """Metres walked for `following` when `done` stand and `last` was set last (-1: none)."""

    def end(self, done: int, last: int) -> float:
        """Metres walked when everything stands."""


def total_cost(order: Iterable[int], cost: Cost) -> float:
    """Metres walked for a whole order."""
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
    tries = [*starts[:HEURISTIC_STARTS], *starts[-2:]]
    orders = [_improved(_greedy(first, count, cost), cost) for first in dict.fromkeys(tries)]
    return tuple(min(orders, key=lambda order: round(total_cost(order, cost), 9)))


def _greedy(first: int, count: int, cost: Cost) -> list[int]:
    order, done = [first], 1 << first
    while len(order) < count:
        left = [n for n in range(count) if not done >> n & 1]
        following = min(left, key=lambda n: cost.step(done, order[-1], n))
        order.append(following)
        done |= 1 << following
    return order


def _improved(order: list[int], cost: Cost) -> list[int]:
    best, value = order, total_cost(order, cost)
    better = True
    while better:
        better = False
        for other in _neighbours(best):
            cheaper = total_cost(other, cost)
            if cheaper < value - 1e-9:
                best, value, better = other, cheaper, True
                break
    return best


def _neighbours(order: list[int]) -> list[list[int]]:
    count = len(order)
    out = []
    for i in range(count):
        for j in range(i + 2, count + 1):
            out.append(order[:i] + order[i:j][::-1] + order[j:])
    for length in (1, 2, 3):
        for i in range(count - length + 1):
            piece, rest = order[i : i + length], order[:i] + order[i + length :]
            out += [rest[:k] + piece + rest[k:] for k in range(len(rest) + 1) if k != i]
    return out


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

    def _left(self, done: int) -> int:
        """Hands still free on the walk that carried the last load."""
        carried = sum(load for n, load in enumerate(self.loads) if done >> n & 1)
        return -carried % self.people

    def step(self, done: int, last: int, following: int) -> float:
        """Carrying to `following`, and the tools to it."""
        place, out = self.places[following], math.dist(self.store, self.places[following])
        tools = math.dist(self.store if last < 0 else self.places[last], place)
        free, load = (self._left(done) if last >= 0 else 0), self.loads[following]
        walked, taken = 0.0, 0
        if free:
            # The crew is at the last fence; it goes on or goes home.
            back = math.dist(self.places[last], self.store)
            taken = min(free, load)
            walked += math.dist(self.places[last], place) if taken else back
            if taken and load > taken:
                walked += out
        rest = load - taken
        full, part = divmod(rest, self.people)
        walked += full * 2 * out + (out if part else 0.0)
        if free and taken == load and self._left(done | 1 << following) == 0:
            walked += out
        return walked + tools

    def end(self, done: int, last: int) -> float:
        """The way home, with the tools and, if the last walk was not full, the crew."""
        if last < 0:
            return 0.0
        home = math.dist(self.places[last], self.store)
        return home + (home if self._left(done) else 0.0)
