"""Strides and seconds against the plan, by hand; comparisons that say when they cannot."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from filling import ON
from msgspec.structs import replace

from diagram.records.strides import (
    comparisons,
    counted_lines,
    leg_figures,
    seasons_words,
    trend_words,
)
from diagram.records.values import History, Pair, Round


def own_rounds(history: History, name: str) -> list[Round]:
    pair: Pair = next(pair for pair in history.pairs if pair.name == name)
    return [one for one in history.rounds if one.pair == pair]


def test_average_stride_and_speed_by_hand(invented: History) -> None:
    one = next(r for r in invented.rounds if r.exercise.title == "Every fence twice")
    element = replace(one.exercise.elements[1], canter_mm=21945, landing_mm=1829, take_off_mm=1829,
                      seconds_asked=4.0)  # fmt: skip
    base = one.seen[0]
    marks = [
        replace(base, element=element, strides=count, seconds=seconds)
        for count, seconds in ((5, 4.0), (6, 4.5), (5, None), (None, 3.5))
    ]
    rounds = [replace(one, seen=(mark,)) for mark in marks]
    (leg,) = leg_figures(rounds)
    free = (21945 - 2 * 1829) / 1000
    assert leg.stride_m == pytest.approx(3 * free / 16)
    assert leg.planned_m == pytest.approx(free / 5)
    assert leg.spread == pytest.approx(np.std([5, 6, 5], ddof=1))
    assert leg.speed_m_s == pytest.approx(3 * 21.945 / 12.0)
    assert leg.planned_m_s == pytest.approx(21.945 / 4.0)
    assert (leg.inside, leg.outside) == (None, None)


def test_in_and_out_of_a_transition_apart(invented: History) -> None:
    one = invented.rounds[0]
    first = one.exercise.elements[0]
    element = replace(first, shape="transition", strides_asked=5, strides_out_asked=4)
    marks = [replace(one.seen[0], element=element, strides=i, strides_out=o)
             for i, o in ((5, 4), (6, 4), (6, 5))]  # fmt: skip
    (leg,) = leg_figures([replace(one, seen=(mark,)) for mark in marks])
    assert (leg.inside, leg.outside) == (pytest.approx(17 / 3), pytest.approx(13 / 3))
    assert leg.stride_m is None


def test_out_and_home_and_their_winters(invented: History) -> None:
    lines = counted_lines(own_rounds(invented, "Ida and Bramble"))
    assert [line.name for line in lines] == ["out", "home"]
    assert {line.asked for line in lines} == {5}
    for line in lines:
        assert sum(n for _, _, n in line.seasons) == len(line.tries)
        assert sum(x for _, x, _ in line.seasons) == sum(count == 5 for _, count in line.tries)
    assert seasons_words(lines).startswith("in five: out ")
    assert seasons_words(()) == ""
    assert counted_lines([]) == ()


def test_comparisons_count_what_they_say(invented: History) -> None:
    rounds = own_rounds(invented, "Ida and Bramble")
    rein, before, year = comparisons(rounds, ON)
    marks = [(s.element.rein, s.mark == "as asked") for one in rounds for s in one.seen]
    assert rein.first == (marks.count(("left", True)), sum(hand == "left" for hand, _ in marks))
    assert rein.second == (marks.count(("right", True)), sum(hand == "right" for hand, _ in marks))
    march = [s.mark == "as asked" for one in rounds for s in one.seen
             if (one.day.on.year, one.day.on.month) == (2026, 3)]  # fmt: skip
    assert before.second == year.second == (sum(march), len(march))


def test_few_tries_are_counted_and_not_compared(invented: History) -> None:
    first = own_rounds(invented, "Ida and Bramble")[:1]
    for one in comparisons(first, date(2024, 12, 1)):
        if min(one.first[1], one.second[1]) < 5:
            assert (one.low, one.high) == (None, None)
            assert "too few to compare" in one.words


def test_the_trend_over_months_is_said(invented: History) -> None:
    """A share that rises by one in ten a month, whatever scatter there is about the line."""
    pair = next(one for one in invented.rounds if one.seen)
    marks = {True: "as asked", False: "not as asked"}
    rising = [
        replace(pair, day=replace(pair.day, on=date(2026, month, 10)), seen=tuple(
            replace(pair.seen[0], mark=marks[n < 3 + month]) for n in range(10)
        ))
        for month in range(1, 6)
    ]  # fmt: skip
    on = date(2026, 5, 31)
    assert trend_words(rising, on).endswith("up by 1.0 to 1.0 in 10 a month")
    wavering = [*rising[:4], replace(rising[4], seen=rising[0].seen)]
    assert "neither up nor down" in trend_words(wavering, on)
    assert trend_words(rising[:2], on) == ""
    assert trend_words(rising, date(2027, 4, 30)) == ""
