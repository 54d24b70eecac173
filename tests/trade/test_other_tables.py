"""The other tables, side by side, as their sources print them."""

from __future__ import annotations

import pytest
from trade_measures import EXACT, WHOLE_CM, FenceFacts, ask, feet

# published (web article) [S7]: French answer on distances between bars on the ground.
FRENCH_HORSES = [(1, 7.00), (2, 10.50), (3, 14.00), (4, 17.50), (5, 21.00), (6, 24.50)]


@pytest.mark.parametrize(("strides", "printed"), FRENCH_HORSES)
def test_metre_rule(strides: int, printed: float) -> None:
    found = ask(strides, "metre rule")
    assert found.aim_m == pytest.approx(printed, abs=WHOLE_CM)
    assert found.parts[0].source.startswith("published (web article) [S7]")


# derived: the rule of [S7] with 2.90, 3.10 and 3.30 m in place of 3.50, for 0 to 10 strides.
FRENCH_PONIES = {
    "small pony": [2.90, 5.80, 8.70, 11.60, 14.50, 17.40, 20.30, 23.20, 26.10, 29.00, 31.90],
    "medium pony": [3.10, 6.20, 9.30, 12.40, 15.50, 18.60, 21.70, 24.80, 27.90, 31.00, 34.10],
    "large pony": [3.30, 6.60, 9.90, 13.20, 16.50, 19.80, 23.10, 26.40, 29.70, 33.00, 36.30],
}


@pytest.mark.parametrize("size", FRENCH_PONIES)
def test_metre_rule_for_ponies(size: str) -> None:
    for strides, metres in enumerate(FRENCH_PONIES[size]):
        assert ask(strides, "metre rule", size).aim_m == pytest.approx(metres, abs=WHOLE_CM)


# published (web article) [S10], [S11]: US articles on walking distances; one to six strides.
@pytest.mark.parametrize(
    ("strides", "printed"), [(1, "24'"), (2, "36'"), (3, "48'"), (4, "60'"), (5, "72'"), (6, "84'")]
)
def test_twelve_foot_rule(strides: int, printed: str) -> None:
    found = ask(strides, "twelve foot rule")
    assert found.aim_m == pytest.approx(feet(printed), abs=EXACT)
    assert found.parts[0].source.startswith("published (web article) [S10]")


UPRIGHT = FenceFacts("vertical", 1.20)
SPREAD = FenceFacts("spread", 1.20, 1.20)

# published (web article) [S3]: UK table of show jump distances by kind of fence, about 1.20 m.
BY_KIND = [
    (1, UPRIGHT, UPRIGHT, 7.50, 7.90), (1, UPRIGHT, SPREAD, 7.40, 7.80),
    (1, SPREAD, UPRIGHT, 7.60, 8.00), (1, SPREAD, SPREAD, 7.30, 7.60),
    (2, UPRIGHT, UPRIGHT, 10.60, 11.05), (2, UPRIGHT, SPREAD, 10.70, 10.80),
    (2, SPREAD, UPRIGHT, 10.70, 11.10), (2, SPREAD, SPREAD, 10.50, 10.70),
    (3, UPRIGHT, UPRIGHT, 14.30, 14.90), (3, SPREAD, SPREAD, 14.30, 14.90),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "first", "second", "low", "high"), BY_KIND)
def test_by_fence_kind(
    strides: int, first: FenceFacts, second: FenceFacts, low: float, high: float
) -> None:
    found = ask(strides, "by fence kind", first=first, second=second)
    assert (found.low_m, found.high_m) == pytest.approx((low, high), abs=WHOLE_CM)
    assert found.aim_m == pytest.approx((low + high) / 2, abs=WHOLE_CM)


def test_by_fence_kind_takes_the_short_end_for_low_classes() -> None:
    # [S3]: for classes lower than 1.20 m use the short end.
    fence = FenceFacts("vertical", 1.10)
    found = ask(1, "by fence kind", first=fence, second=fence)
    assert found.aim_m == pytest.approx(7.50, abs=WHOLE_CM)
    assert "short end for low classes" in found.parts[0].text


# published (handbook, 2nd-hand) [S5]: UK handout, horses of 15.2 hh and over, canter approach.
SCHOOLING = [
    (0, "10'", "12'"), (1, "21'", "24'6\""), (2, "33'", "36'"),
    (3, "45'", "48'"), (4, "57'", "60'"), (5, "66'", "72'"),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "low", "high"), SCHOOLING)
def test_schooling(strides: int, low: str, high: str) -> None:
    found = ask(strides, "schooling")
    assert (found.low_m, found.high_m) == pytest.approx((feet(low), feet(high)), abs=EXACT)


# published (web article) [S6]: German list of classes, heights and distances.
GERMAN = [(2, 10.0, 11.0), (3, 14.0, 15.0), (4, 17.5, 18.5), (5, 21.0, 22.0), (6, 24.5, 25.5)]


@pytest.mark.parametrize(("strides", "low", "high"), GERMAN)
def test_german_list(strides: int, low: float, high: float) -> None:
    found = ask(strides, "german list")
    assert (found.low_m, found.high_m) == pytest.approx((low, high), abs=WHOLE_CM)


@pytest.mark.parametrize(("strides", "printed"), [(0, 3.60), (1, 7.50)])
def test_german_list_single_figures(strides: int, printed: float) -> None:
    assert ask(strides, "german list").aim_m == pytest.approx(printed, abs=WHOLE_CM)


# published (web article) [S4]: list of recommended distances between jumps.
@pytest.mark.parametrize(
    ("strides", "low", "high"), [(2, 10.8, 11.2), (3, 14.3, 14.9), (4, 17.7, 18.9), (5, 21, 22.9)]
)
def test_recommended_list(strides: int, low: float, high: float) -> None:
    found = ask(strides, "recommended list")
    assert (found.low_m, found.high_m) == pytest.approx((low, high), abs=WHOLE_CM)


# published (handbook, 2nd-hand) [S8]: said to be from the BHS manual; canter approach.
BHS = [
    (0, "horse", "11'", "14'"), (1, "horse", "24'", "26'6\""), (2, "horse", "34'", "36'"),
    (0, "medium pony", "10'", "12'"), (1, "medium pony", "21'", "24'"),
    (2, "medium pony", "31'", "34'"),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "size", "low", "high"), BHS)
def test_bhs(strides: int, size: str, low: str, high: str) -> None:
    found = ask(strides, "bhs", size)
    assert (found.low_m, found.high_m) == pytest.approx((feet(low), feet(high)), abs=EXACT)


def test_small_ponies_take_the_short_end_of_a_pony_range() -> None:
    aims = [ask(1, "bhs", size).aim_m for size in ("small pony", "medium pony", "large pony")]
    assert aims == sorted(aims)
    assert aims[0] == pytest.approx(feet("21'"), abs=EXACT)
    assert aims[2] == pytest.approx(feet("24'"), abs=EXACT)


def test_ponies_on_a_table_for_horses_lose_their_shorter_stride() -> None:
    # derived: five strides, six times the difference between 3.50 m and 10'6".
    found = ask(5, "german list", "medium pony")
    assert found.aim_m == pytest.approx(21.5 - 6 * (3.5 - feet("10'6\"")), abs=EXACT)
    assert found.parts[1].source.startswith("derived")
