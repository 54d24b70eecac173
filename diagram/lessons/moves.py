"""What a helper has to do between the exercises of a lesson, and the order with least of it.

A fence carried in or out costs most, a rail or a pair of cups little. For one order each place is
a question of its own: it must stand while it is used, must be gone while it is in the way, and
otherwise stays as it is; that is solved exactly, and all orders are gone through.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from diagram.lessons.spots import Build, SharedSpot
from diagram.plain import counted
from diagram.trade.lessons import lesson_facts

WALK, RAIL, CUPS, FENCE = 1, 1, 2, 10
"""What a move costs: one walk in, one rail, the cups of a fence, a fence carried (common
practice, no source; only their order matters)."""
MOST_IN_ALL_ORDERS = 7


class Moves(Struct, frozen=True):
    """The work between the exercises of one order. `walks` counts how often someone goes in."""

    fences: int
    rails: int
    cups: int
    walks: int

    @property
    def cost(self) -> int:
        """In the units of a rail."""
        return self.fences * FENCE + self.rails * RAIL + self.cups * CUPS + self.walks * WALK

    def words(self) -> str:
        """``0 fences moved, 5 rails, 2 pairs of cups, 2 walks in``."""
        return (
            f"{counted(self.fences, 'fence')} carried, "
            f"{counted(self.rails, 'rail')}, "
            f"{counted(self.cups, 'pair')} of cups, "
            f"{counted(self.walks, 'walk')} in"
        )


class SpotChange(Struct, frozen=True):
    """What is done at one place before one exercise. `kind` (empty where only the ground line
    changes) and `height_mm` are of what is built there then, `line` says where its ground line
    comes to lie, if elsewhere; a `pole` has no standards. A rail that goes up or down takes its
    pair of cups along."""

    place: str
    what: Literal["in", "out", "up", "down", "rebuilt"]
    rails: int = 0
    cups: int = 0
    kind: str = ""
    height_mm: int = 0
    line: str = ""
    pole: bool = False


def minutes_to_move(changes: Sequence[SpotChange]) -> int:
    """Whole minutes, rounded up, that two people take for what is done before one exercise: a walk
    in, each fence in or out, each rail with its cups. Common practice, from the trade's data."""
    if not changes:
        return 0
    facts = lesson_facts()
    minutes = facts.minutes_to_walk_in.value
    for change in changes:
        if change.what == "in":
            into = facts.minutes_for_a_pole_in if change.pole else facts.minutes_for_a_fence_in
            minutes += into.value
        elif change.what == "out":
            out = facts.minutes_for_a_pole_out if change.pole else facts.minutes_for_a_fence_out
            minutes += out.value
        minutes += max(change.rails, change.cups) * facts.minutes_for_a_rail.value
    return math.ceil(minutes - 1e-9)


class Order(Struct, frozen=True):
    """Exercises in an order, with the changes before each and the work in all."""

    sequence: tuple[int, ...]
    changes: tuple[tuple[SpotChange, ...], ...]
    moves: Moves

    @property
    def minutes(self) -> int:
        """What all moves take, in minutes."""
        return sum(minutes_to_move(changes) for changes in self.changes)


def standing(spot: SharedSpot, sequence: Sequence[int]) -> tuple[bool, ...]:
    """Whether a place stands during each exercise, with fewest carries. What is there before the
    lesson is free. Ties stand: what stands need not be carried."""
    wanted = [True if n in spot.builds else False if n in spot.blocks else None for n in sequence]
    known = [n for n, want in enumerate(wanted) if want is not None]
    out: list[bool] = []
    for n, want in enumerate(wanted):
        if want is not None:
            out.append(want)
        else:
            # Between two that agree it stays as they are; at the ends as the nearest is; else
            # the change can come at any time, and comes as late as it must.
            before = [k for k in known if k < n]
            after = [k for k in known if k > n]
            near = wanted[before[-1]] if before else wanted[after[0]] if after else True
            out.append(bool(near))
    return tuple(out)


def order_of(spots: Sequence[SharedSpot], sequence: Sequence[int]) -> Order:
    """The changes of one order."""
    changes: list[list[SpotChange]] = [[] for _ in sequence]
    for spot in spots:
        stands = standing(spot, sequence)
        built = None
        for place, n in enumerate(sequence):
            if place and stands[place] != stands[place - 1]:
                what: Literal["in", "out"] = "in" if stands[place] else "out"
                pole = all(build.pole for build in spot.builds.values())
                changes[place].append(SpotChange(spot.name, what, pole=pole))
                built = built if stands[place] else None
            if n not in spot.builds:
                continue
            wanted = spot.builds[n]
            if built is not None and built.line == "both" and wanted.line != "none":
                wanted = replace(wanted, line="both")
            if built is not None and built != wanted:
                changes[place].append(_rebuilt(spot.name, built, wanted))
            built = wanted
    fixed = tuple(tuple(change) for change in changes)
    return Order(tuple(sequence), fixed, _counted(fixed))


def _rebuilt(place: str, built: Build, wanted: Build) -> SpotChange:
    """What is done at a fence that stands, to make it what is wanted."""
    kind, high = wanted.kind, wanted.height_mm
    line = _line(wanted.line) if wanted.line != built.line else ""
    if replace(built, line=wanted.line) == wanted:
        return SpotChange(place, "rebuilt", int(wanted.line != "none"), 0, "", high, line)
    if (kind, wanted.rails, wanted.spread_mm) == (built.kind, built.rails, built.spread_mm):
        # The top rail, and the front one of a spread; what hangs below them stays.
        rails = 2 if wanted.spread else 1
        way: Literal["up", "down"] = "up" if high > built.height_mm else "down"
        return SpotChange(place, way, rails, rails, kind, high, line)
    rails = abs(wanted.rails - built.rails) or wanted.rails
    cups = int(high != built.height_mm or kind != built.kind)
    return SpotChange(place, "rebuilt", rails, cups, kind, high, line)


def _line(side: str) -> str:
    """Where the ground line is to lie, in words for a helper who comes from the side of before."""
    return {"none": "no ground line", "both": "ground lines both sides"}.get(
        side, "ground line to the other side"
    )


def _counted(changes: Sequence[Sequence[SpotChange]]) -> Moves:
    every = list(itertools.chain.from_iterable(changes))
    return Moves(
        fences=sum(change.what in ("in", "out") for change in every),
        rails=sum(change.rails for change in every),
        cups=sum(change.cups for change in every),
        walks=sum(bool(change) for change in changes),
    )


def best_order(
    spots: Sequence[SharedSpot],
    count: int,
    allowed: Callable[[Sequence[int]], bool] = lambda sequence: True,  # noqa: ARG005
) -> Order:
    """Of all allowed orders of `count` exercises one with the least work; of equal ones that
    with least minutes, then that nearest to the order given. Raises ValueError for more than
    MOST_IN_ALL_ORDERS, and where no order is allowed."""
    if count > MOST_IN_ALL_ORDERS:
        raise ValueError(f"more than {MOST_IN_ALL_ORDERS} exercises in one lesson")
    orders = [
        order_of(spots, sequence)
        for sequence in itertools.permutations(range(count))
        if allowed(sequence)
    ]
    if not orders:
        raise ValueError("no order of the exercises is allowed")
    return min(orders, key=lambda order: (order.moves.cost, order.minutes, order.sequence))
