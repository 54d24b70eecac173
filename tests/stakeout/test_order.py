"""The order of work: the optimum by trying every order, the walk by walking it."""

from __future__ import annotations

import math
import random
from itertools import pairwise, permutations

import pytest

from diagram.stakeout.moving import BetweenPlaces, Job
from diagram.stakeout.order import (
    EXACT,
    FromStore,
    best_order,
    exact_order,
    good_order,
    total_cost,
)

STORE = (0.0, 4.0)


def _setting_up(count: int, seed: int, people: int = 2) -> FromStore:
    chance = random.Random(seed)
    places = tuple((chance.uniform(3, 57), chance.uniform(3, 27)) for _ in range(count))
    loads = tuple(chance.randint(1, 9) for _ in range(count))
    return FromStore(STORE, places, loads, people)


def _between(count: int, seed: int, people: int = 2) -> BetweenPlaces:
    chance = random.Random(seed)

    def place() -> tuple[float, float]:
        return chance.uniform(3, 57), chance.uniform(3, 27)

    jobs = tuple(
        Job("move", f"n{n}", f"o{n}", place(), place(), chance.randint(1, 8), chance.randint(0, 3))
        for n in range(count)
    )
    blocked = tuple(1 << ((n + 1) % count) if n % 4 == 0 else 0 for n in range(count))
    return BetweenPlaces(jobs, blocked, STORE, people)


def _walked(cost: FromStore, order: tuple[int, ...]) -> float:
    """The same walk, made step by step by a crew that carries one load after the other."""
    pieces = [fence for fence in order for _ in range(cost.loads[fence])]
    walked = 0.0
    for first in range(0, len(pieces), cost.people):
        here = cost.store
        for fence in pieces[first : first + cost.people]:
            walked += math.dist(here, cost.places[fence])
            here = cost.places[fence]
        walked += math.dist(here, cost.store)
    tools = [cost.store, *(cost.places[n] for n in order), cost.store]
    return walked + sum(math.dist(a, b) for a, b in pairwise(tools))


@pytest.mark.parametrize("people", [1, 2, 3])
@pytest.mark.parametrize("seed", range(6))
def test_the_cost_is_the_walk(seed: int, people: int) -> None:
    cost = _setting_up(5, seed, people)
    for order in list(permutations(range(5)))[::7]:
        assert total_cost(order, cost) == pytest.approx(_walked(cost, order))
        assert cost.total(order) == pytest.approx(_walked(cost, order))


@pytest.mark.parametrize("make", [_setting_up, _between])
@pytest.mark.parametrize("seed", range(5))
def test_the_exact_order_is_the_best_of_all(make, seed: int) -> None:  # type: ignore[no-untyped-def]
    cost = make(6, seed)
    every = min(total_cost(order, cost) for order in permutations(range(6)))
    assert total_cost(exact_order(6, cost), cost) == pytest.approx(every)


@pytest.mark.parametrize("make", [_setting_up, _between])
@pytest.mark.parametrize("count", [5, 7, 9])
def test_the_good_order_is_near_the_best(make, count: int) -> None:  # type: ignore[no-untyped-def]
    for seed in range(6):
        cost = make(count, seed)
        best = total_cost(exact_order(count, cost), cost)
        assert total_cost(good_order(count, cost), cost) <= best * 1.03 + 1e-9


def test_many_fences_are_put_in_order_as_well() -> None:
    cost = _setting_up(16, 1)
    order = best_order(16, cost)
    assert EXACT < 16
    assert sorted(order) == list(range(16))
    assert total_cost(order, cost) < total_cost(range(16), cost)


def test_nothing_to_do() -> None:
    assert best_order(0, _setting_up(1, 0)) == ()
    assert total_cost((), _setting_up(1, 0)) == 0.0


def test_more_people_walk_less() -> None:
    walks = [
        total_cost(best_order(6, cost), cost)
        for cost in (_setting_up(6, 2, people) for people in (1, 2, 3))
    ]
    assert walks == sorted(walks, reverse=True)


def test_a_place_is_cleared_before_it_is_used() -> None:
    jobs = (
        Job("move", "a", "x", (10.0, 10.0), (30.0, 10.0), 4, 0),
        Job("move", "b", "y", (30.0, 10.0), (50.0, 10.0), 4, 0),
    )
    cost = BetweenPlaces(jobs, (0b10, 0), STORE, 2)
    assert best_order(2, cost) == (1, 0)
