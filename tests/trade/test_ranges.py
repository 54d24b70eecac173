"""Ranges of neighbouring counts never overlap, and a distance rides as what it was built for."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from trade_measures import CROSS, EXACT, OXER, POLE, RAISED, TRIPLE, VERTICAL, FenceFacts, ask, feet

from diagram.trade.distances import Conditions, Horses, distance, rides_as
from diagram.trade.horses import horses_from_size
from diagram.trade.stride_tables import load_table, table_names

LOW = FenceFacts("vertical", 0.6)
FENCES = [VERTICAL, OXER, TRIPLE, CROSS, LOW, POLE, RAISED]

questions = some.fixed_dictionaries(
    {
        "table": some.sampled_from(table_names()).map(load_table),
        "horses": some.builds(
            Horses,
            some.sampled_from(["horse", "large pony", "medium pony", "small pony"]),
            some.floats(2.0, 4.6),
        ),
        "first": some.sampled_from(FENCES),
        "second": some.sampled_from(FENCES),
        "gait_in": some.sampled_from(["walk", "trot", "canter"]),
        "gap": some.sampled_from([None, 1, 2, 3]),
        "conditions": some.builds(
            Conditions,
            slope=some.sampled_from(["level", "uphill", "downhill"]),
            going=some.sampled_from(["ordinary going", "deep going", "good going"]),
            gate=some.sampled_from(["across the gate", "towards the gate", "away from the gate"]),
            approach=some.sampled_from(["ordinary approach", "short approach"]),
            weather=some.sampled_from(["fair weather", "bad weather"]),
            arena=some.sampled_from(["ordinary arena", "small arena", "large arena"]),
        ),
    }
)


@settings(max_examples=100, deadline=None)
@given(questions)
def test_more_strides_are_longer_and_ranges_never_overlap(question: dict[str, object]) -> None:
    found = [distance(strides, **question) for strides in range(13)]
    for shorter, longer in pairwise(found):
        assert shorter.aim_m < longer.aim_m
        assert shorter.high_m <= longer.low_m + EXACT
    for one in found:
        assert 0 < one.low_m <= one.aim_m <= one.high_m


@settings(max_examples=100, deadline=None)
@given(questions, some.integers(0, 12))
def test_a_distance_rides_as_built(question: dict[str, object], strides: int) -> None:
    built = distance(strides, **question)
    ridden = rides_as(built.aim_m, **question)
    assert (ridden.strides, ridden.fits) == (strides, True)
    assert ridden.words.endswith("as normal")
    assert ridden.share_of_normal == pytest.approx(1)


@settings(max_examples=100, deadline=None)
@given(questions, some.floats(0.2, 60))
def test_every_length_gets_an_answer(question: dict[str, object], metres: float) -> None:
    ridden = rides_as(metres, **question)
    found = distance(ridden.strides, **question)
    assert ridden.fits == (found.misses_by(metres) == 0)
    assert (ridden.stride_m > 0) or not ridden.fits


@pytest.mark.parametrize("table", table_names())
def test_published_ranges_are_not_cut(table: str) -> None:
    loaded = load_table(table)
    for entry in loaded.entries:
        if entry.has_range and entry.gait_in == "canter" and "horse" in entry.sizes:
            height = entry.height_m or 1.2
            found = distance(
                entry.strides,
                table=loaded,
                horses=horses_from_size("horse", loaded),
                first=FenceFacts(entry.first[0], height),
                second=FenceFacts(entry.second[0], height),
            )
            assert found.high_m - found.low_m == pytest.approx(entry.high_m - entry.low_m)


def test_range_says_where_it_comes_from() -> None:
    assert ask(4).range_source == 'common practice (no source): 6" for each stride taken'
    assert ask(4, "german list").range_source.startswith("published (web article) [S6]")
    uphill = ask(4, "german list", conditions=Conditions(slope="uphill"))
    assert uphill.range_source.startswith("derived: moved with the aim, from published")
    assert uphill.high_m - uphill.low_m == pytest.approx(1.0)


def _words(measured: str, units: str = "feet", **more: object) -> str:
    table = load_table("us chart")
    horses = horses_from_size("horse", table)
    ends = {"first": VERTICAL, "second": VERTICAL} | more
    return rides_as(feet(measured), table=table, horses=horses, units=units, **ends).words


# published (web article) [S12]: 60 ft are four strides. The words are the project's.
@pytest.mark.parametrize(
    ("measured", "words"),
    [
        ("60'", "four strides as normal"),
        ("61'3\"", "a forward four, 3 in long per stride"),
        ("70'", "a quiet five, 4 in short per stride"),
        ("66'", "a quiet five, 12 in short per stride"),
        ("76'", "between a long five and a short six: neither"),
        ("18'", "between a long bounce and a short one: neither"),
        ("12'", "a bounce as normal"),
        ("8'", "too short for a bounce"),
    ],
)
def test_words(measured: str, words: str) -> None:
    assert _words(measured) == words


def test_words_in_metres() -> None:
    assert _words("61'3\"", "metres") == "a forward four, 8 cm long per stride"


def test_stride_that_a_measured_line_asks_for() -> None:
    # 65 ft for four is the 13-ft column of the US chart: each stride a foot longer.
    table = load_table("us chart")
    horses = horses_from_size("horse", table)
    found = rides_as(feet("62'6\""), table=table, horses=horses, first=VERTICAL, second=VERTICAL)
    assert found.strides == 4
    assert found.stride_m == pytest.approx(feet("12'6\""), abs=EXACT)
    assert found.share_of_normal == pytest.approx(12.5 / 12)


def test_trotted_into_a_cantered_line_rides_as_neither() -> None:
    # published (web article) [S25]: at canter distance it usually takes one stride more.
    found = ask(3, gait_in="trot")
    assert found.high_m < feet("48'")


def test_no_such_length() -> None:
    for measured in (0.0, -1.0, 2000.0, float("nan")):
        with pytest.raises(ValueError, match="no line is"):
            rides_as(
                measured,
                table=load_table("us chart"),
                horses=Horses("horse", 3.6),
                first=VERTICAL,
                second=VERTICAL,
            )
