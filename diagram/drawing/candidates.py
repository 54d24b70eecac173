"""Places for a label, the cheapest first: made and priced only as they are asked for.

Most labels take one of the first few of their places; what the others would cost is never reckoned.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterable, Iterator

from msgspec import Struct

from diagram.geometry.pose import Point

Segment = tuple[Point, Point]


class Candidate(Struct, frozen=True):
    """A place for the middle of a label, what it points at, and what being there costs.

    Words turned by `angle` degrees are held as `lines` along them, which must be free `clear` mm
    to each side; the box tested is then `size`. Where `poled` the lines are those of a thin pole,
    which may cross tracks. A sign that stands `over` tracks has them cut beside it. Between
    the label and what it points at there should be no rail and no track but those of the kinds
    in `near`, lest it seem to belong to that: such a place is taken only where there is no other.
    """

    centre: Point
    target: Point
    price: float = 0.0
    lines: tuple[Segment, ...] = ()
    clear: float = 0.5
    angle: float = 0.0
    size: tuple[float, float] | None = None
    poled: bool = False
    over: bool = False
    near: frozenset[str] | None = None


Surcharge = Callable[[Candidate], float]
"""What a place costs beyond its price, never less than nothing; infinite where it will not do."""


class Ranked(Struct, frozen=True):
    """Candidates whose `make` gives them the cheapest first."""

    make: Callable[[], Iterator[Candidate]]

    def __iter__(self) -> Iterator[Candidate]:
        return self.make()


def cheapest_first(
    candidates: Iterable[Candidate], surcharge: Surcharge | None = None
) -> Iterator[Candidate]:
    """Candidates by what they cost in all; of equals the one that is named first.

    The surcharge of one is asked for only when its own price is the least that is left.
    """
    ranked = candidates
    if not isinstance(candidates, Ranked):
        ranked = sorted(candidates, key=lambda candidate: candidate.price)
    if surcharge is None:
        yield from ranked
        return
    waiting: list[tuple[float, int, Candidate]] = []
    for n, candidate in enumerate(ranked):
        while waiting and waiting[0][0] <= candidate.price:
            yield heapq.heappop(waiting)[2]
        price = candidate.price + surcharge(candidate)
        if price < math.inf:
            heapq.heappush(waiting, (price, n, candidate))
    while waiting:
        yield heapq.heappop(waiting)[2]
