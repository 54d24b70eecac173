"""Fewest moves: against going through every way in which places can stand or be gone."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lesson_trials import HIGH, LOW, OXER, spot

from diagram.lessons.moves import FENCE, best_order, order_of, standing
from diagram.lessons.spots import SharedSpot

BUILDS = st.sampled_from([LOW, HIGH, OXER])


@st.composite
def lessons(draw: st.DrawFn) -> tuple[list[SharedSpot], int]:
    count = draw(st.integers(1, 4))
    spots = []
    for n in range(draw(st.integers(1, 4))):
        used = draw(st.dictionaries(st.integers(0, count - 1), BUILDS, min_size=1))
        free = [k for k in range(count) if k not in used]
        blocks = draw(st.sets(st.sampled_from(free))) if free else set()
        spots.append(spot(f"s{n}", used, blocks))
    return spots, count


def fewest_carries(one: SharedSpot, sequence: tuple[int, ...]) -> int:
    """Of all ways to stand or be gone that are allowed, the fewest changes between them."""
    best = len(sequence)
    for ways in itertools.product((True, False), repeat=len(sequence)):
        allowed = all(
            (way or n not in one.builds) and not (way and n in one.blocks)
            for way, n in zip(ways, sequence, strict=True)
        )
        if allowed:
            best = min(best, sum(a != b for a, b in itertools.pairwise(ways)))
    return best


@given(lessons())
@settings(max_examples=200)
def test_carries_are_fewest_for_every_order(lesson: tuple[list[SharedSpot], int]) -> None:
    spots, count = lesson
    for sequence in itertools.permutations(range(count)):
        carries = order_of(spots, sequence).moves.fences
        assert carries == sum(fewest_carries(one, sequence) for one in spots)


@given(lessons())
@settings(max_examples=100)
def test_the_order_is_the_best_of_all(lesson: tuple[list[SharedSpot], int]) -> None:
    spots, count = lesson
    best = best_order(spots, count)
    made = {s: order_of(spots, s) for s in itertools.permutations(range(count))}
    costs = {s: (order.moves.cost, order.minutes) for s, order in made.items()}
    assert (best.moves.cost, best.minutes) == min(costs.values())
    assert best.sequence == min(s for s, cost in costs.items() if cost == min(costs.values()))


@given(lessons())
def test_what_is_needed_stands_and_what_is_in_the_way_is_gone(
    lesson: tuple[list[SharedSpot], int],
) -> None:
    spots, count = lesson
    for one in spots:
        for n, stands in enumerate(standing(one, range(count))):
            assert stands or n not in one.builds
            assert not (stands and n in one.blocks)


def test_rails_and_cups_are_counted() -> None:
    one = spot("alder", {0: LOW, 1: HIGH, 2: OXER})
    order = order_of([one], (0, 1, 2))
    assert [[(c.what, c.rails, c.cups) for c in changes] for changes in order.changes] == [
        [], [("up", 1, 1)], [("rebuilt", 1, 1)],
    ]  # fmt: skip
    assert (order.moves.fences, order.moves.walks) == (0, 2)


def test_an_order_may_save_carrying() -> None:
    # In the way of 1 alone: ridden between 0 and 2 it goes out and comes in again.
    one = spot("alder", {0: LOW, 2: LOW}, {1})
    assert order_of([one], (0, 1, 2)).moves.fences == 2
    best = best_order([one], 3)
    assert (best.moves.fences, best.moves.cost) == (1, FENCE + 1)
    assert best.sequence == (0, 2, 1)


def test_an_order_that_is_not_allowed_is_not_taken() -> None:
    one = spot("alder", {0: LOW, 2: LOW}, {1})
    best = best_order([one], 3, lambda sequence: sequence.index(1) < sequence.index(2))
    assert best.sequence == (1, 0, 2)
    with pytest.raises(ValueError, match="no order"):
        best_order([one], 3, lambda _: False)
