"""Places for a label: lazily ranked as if all had been priced and sorted at once."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from diagram.drawing.candidates import Candidate, Ranked, cheapest_first
from diagram.drawing.crowd import Crowd
from diagram.drawing.labels import Label, Place, Wish, place
from diagram.scene import Box, Group

priced = st.lists(
    st.tuples(st.integers(0, 9), st.sampled_from((0.0, 1.0, 4.0, math.inf))), max_size=12
)


@given(priced)
def test_ranked_as_by_sorting_all_prices(costs: list[tuple[int, float]]) -> None:
    places = [Candidate((n, 0.0), (0.0, 0.0), own) for n, (own, _) in enumerate(costs)]

    def more(one: Candidate) -> float:
        return costs[int(one.centre[0])][1]

    kept = [one for one in places if more(one) < math.inf]
    wanted = sorted(kept, key=lambda one: (one.price + more(one), one.price, one.centre[0]))
    assert list(cheapest_first(places, more)) == wanted
    by_price = sorted(places, key=lambda one: one.price)
    assert list(cheapest_first(Ranked(lambda: iter(by_price)), more)) == wanted


def test_what_is_not_looked_at_is_neither_made_nor_priced() -> None:
    made, asked = [], []

    def places() -> Iterator[Candidate]:
        for n in range(1000):
            made.append(n)
            yield Candidate((10.0, 10.0), (10.0, 10.0), float(n))

    def more(one: Candidate) -> float:
        asked.append(one)
        return 0.5

    def paint(where: Place) -> Group:
        return Group(f"at {where.centre}", ())

    wish = Wish("sign", "sign", (2.0, 2.0), Ranked(places), paint, surcharge=more)
    found = place(wish, Crowd(Box(0.0, 0.0, 20.0, 20.0)))
    assert isinstance(found, Label)
    assert found.place.chosen == Candidate((10, 10), (10, 10), 0.0)
    assert len(made) < 10
    assert len(asked) < 10
    # Ranked anew each time: a wish can be placed twice.
    assert place(replace(wish, instead=wish), Crowd(Box(0.0, 0.0, 20.0, 20.0))) == found
