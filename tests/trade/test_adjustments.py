"""What is added to a table's figure: low fences, kinds, conditions."""

from __future__ import annotations

import pytest
from trade_measures import (
    EXACT,
    OXER,
    POLE,
    TRIPLE,
    VERTICAL,
    WHOLE_CM,
    FenceFacts,
    ask,
    feet,
    total,
)

from diagram.trade.distances import Conditions, conditions_from_words


# published (web article) [S14]: article on distances with low fences: 1 + 4×4 + 1 yd for four
# strides between poles; [S34]: 66 ft for five strides, six less than 72.
@pytest.mark.parametrize(("strides", "printed"), [(4, "54'"), (5, "66'")])
def test_line_between_poles(strides: int, printed: str) -> None:
    found = ask(strides, first=POLE, second=POLE)
    assert found.aim_m == pytest.approx(feet(printed), abs=EXACT)


def test_pole_at_one_end_only() -> None:
    assert ask(4, second=POLE).aim_m == pytest.approx(feet("57'"), abs=EXACT)


def test_very_small_fences() -> None:
    # [S14]: 1.5 yd to land and to take off, where a fence of 3 ft takes 2 yd.
    fence = FenceFacts("vertical", 0.50)
    found = ask(4, first=fence, second=fence)
    assert found.aim_m == pytest.approx(feet("57'"), abs=EXACT)
    assert [part.source[:13] for part in found.parts[2:]] == ["published (we"] * 2


def test_fences_of_full_height_lose_nothing() -> None:
    fence = FenceFacts("vertical", 0.90)
    assert ask(4, first=fence, second=fence).aim_m == pytest.approx(feet("60'"), abs=EXACT)


def test_low_pony_fences_are_full_height_for_ponies() -> None:
    # The chart's pony lines are for pony classes: small ponies jump 2'3" [S67].
    fence = FenceFacts("vertical", feet("2'3\""))
    found = ask(5, size="small pony", first=fence, second=fence)
    assert found.aim_m == pytest.approx(feet("60'"), abs=EXACT)


def test_the_lower_the_fence_the_shorter_the_line() -> None:
    aims = [
        ask(4, first=FenceFacts("vertical", h), second=FenceFacts("vertical", h)).aim_m
        for h in (0.3, 0.6, 0.7, 0.8, 0.9, 1.1)
    ]
    assert aims == sorted(aims)


# derived: middle of the one-stride figures of [S3] against vertical to vertical.
@pytest.mark.parametrize(
    ("first", "second", "more"),
    [(VERTICAL, OXER, -0.10), (OXER, VERTICAL, 0.10), (OXER, OXER, -0.25)],
)
@pytest.mark.parametrize("strides", [1, 2])
def test_kinds(strides: int, first: FenceFacts, second: FenceFacts, more: float) -> None:
    change = ask(strides, first=first, second=second).aim_m - ask(strides).aim_m
    assert change == pytest.approx(more, abs=WHOLE_CM)


# A bounce: 9' to 10'6" over 2 ft (common practice); 10' over very small fences [S94], 12' over
# full height [S11]. A table with a range goes down it, one with one figure by as much.
@pytest.mark.parametrize("table", ["us chart", "twelve foot rule", "schooling"])
def test_a_bounce_over_two_feet(table: str) -> None:
    fence = FenceFacts("vertical", feet("2'"))
    assert feet("9'") <= ask(0, table, first=fence, second=fence).aim_m <= feet("10'6\"")


def test_a_bounce_grows_with_its_fences() -> None:
    for table in ("us chart", "twelve foot rule", "schooling", "bhs"):
        fences = [FenceFacts("vertical", height) for height in (0.3, 0.6, 0.7, 0.8, 0.9, 1.0)]
        aims = [ask(0, table, first=fence, second=fence).aim_m for fence in fences]
        assert aims == sorted(aims)
        assert aims[0] < aims[-1]


def test_a_line_grows_with_big_fences() -> None:
    # common practice (no source): 6 in to 1 ft for big ones, riders in a forum [S20].
    for height, more in [(1.00, 0.0), (1.15, 0.5), (1.30, 1.0), (1.50, 1.0)]:
        fence = FenceFacts("vertical", height)
        usual = ask(5, first=fence, second=fence)
        assert usual.aim_m == pytest.approx(feet("72'"), abs=EXACT)
        chosen = {"line over big fences": "a foot longer"}
        found = ask(5, first=fence, second=fence, judged_by=chosen)
        assert found.aim_m == pytest.approx(feet("72'") + more * 0.3048, abs=EXACT)


def test_a_pony_combination_grows_within_the_printed_range() -> None:
    # derived: 18 in a foot of height, as horses in [S1]; no longer than the 23' to 24' printed.
    for height, printed in [(33, 23.5), (35, 23.75), (39, 24.0), (45, 24.0)]:
        fence = FenceFacts("vertical", height * 0.0254)
        found = ask(1, size="large pony", first=fence, second=fence)
        assert found.aim_m == pytest.approx(printed * 0.3048, abs=EXACT)


def test_kinds_change_nothing_on_a_line() -> None:
    assert ask(5, first=OXER, second=OXER).aim_m == pytest.approx(feet("72'"), abs=EXACT)


@pytest.mark.parametrize("table", ["us chart", "by fence kind"])
def test_triple_bar_is_from_memory_and_says_so(table: str) -> None:
    after = ask(1, table, first=TRIPLE)
    before = ask(1, table, second=TRIPLE)
    assert after.aim_m > ask(1, table, first=OXER).aim_m
    assert before.aim_m < ask(1, table, second=OXER).aim_m
    for found in (after, before):
        assert found.parts[-1].source == "from memory (unverified)"


# common practice (no source): 6 in for each on one and two strides, 1 ft on a line.
@pytest.mark.parametrize("word", ["uphill", "deep going", "away from the gate", "small arena"])
@pytest.mark.parametrize(("strides", "step"), [(2, 0.5), (3, 1.0)])
def test_what_shortens(word: str, strides: int, step: float) -> None:
    found = ask(strides, conditions=conditions_from_words([word]))
    change = found.aim_m - ask(strides).aim_m
    assert change == pytest.approx(-step * 0.3048, abs=EXACT)
    assert found.parts[-1].text == word
    assert found.parts[-1].source.startswith("common practice (no source)")


@pytest.mark.parametrize("word", ["downhill", "good going", "towards the gate", "large arena"])
def test_what_lengthens(word: str) -> None:
    change = ask(4, conditions=conditions_from_words([word])).aim_m - ask(4).aim_m
    assert change == pytest.approx(0.3048, abs=EXACT)


def test_a_bounce_is_the_same_uphill() -> None:
    assert ask(0, conditions=Conditions(slope="uphill")).aim_m == ask(0).aim_m


def test_conditions_that_exclude_each_other() -> None:
    with pytest.raises(ValueError, match='"uphill" and "downhill" exclude each other'):
        conditions_from_words(["uphill", "downhill"])


def test_unknown_condition() -> None:
    with pytest.raises(ValueError, match=r'"up hill" is no condition; did you mean "uphill"'):
        conditions_from_words(["up hill"])


@pytest.mark.parametrize("strides", range(10))
def test_parts_add_up(strides: int) -> None:
    words = ["uphill", "good going", "small arena"]
    found = ask(strides, first=TRIPLE, second=OXER, conditions=conditions_from_words(words))
    assert total(found) == pytest.approx(found.aim_m, abs=EXACT)


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"strides": -1}, "there is no line of -1 strides"),
        ({"strides": 3, "gait_in": "halt"}, "no fence is ridden at from"),
        ({"strides": 3, "gait_in": "gallop"}, "no fence is ridden at from"),
        ({"strides": 3, "gap": 0}, "gaps of a grid are counted from 1"),
        ({"strides": 3, "stride_m": 0.1}, "no horse has a canter stride of 0.1 m"),
        ({"strides": 3, "size": "horse", "first": FenceFacts("ditch")}, '"ditch" is no group'),
    ],
)
def test_questions_that_cannot_be_meant(more: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        ask(**more)
