"""Grids ridden from trot, poles on the ground, placing poles."""

from __future__ import annotations

import pytest
from source_marks import keys_in
from trade_measures import (
    EXACT,
    PLACING,
    POLE,
    RAISED,
    VERTICAL,
    WHOLE_CM,
    FenceFacts,
    ask,
    feet,
)

# published (handbook, 2nd-hand) [S8]: grid trotted into; jumps 1-2, 2-3, 3-4 and on.
GRID = [
    (0, 1, "horse", "9'", "11'"), (2, 1, "horse", "30'", "32'"), (1, 3, "horse", "22'", "24'"),
    (1, 4, "horse", "22'", "24'"),
    (0, 1, "medium pony", "9'", "10'"), (1, 1, "medium pony", "16'", "18'"),
    (1, 2, "medium pony", "19'", "21'"), (1, 3, "medium pony", "20'", "22'"),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "gap", "size", "low", "high"), GRID)
def test_grid(strides: int, gap: int, size: str, low: str, high: str) -> None:
    found = ask(strides, size=size, gait_in="trot", gap=gap)
    assert (found.low_m, found.high_m) == pytest.approx((feet(low), feet(high)), abs=EXACT)
    assert found.range_source.startswith("published (handbook, 2nd-hand) [S8]")
    assert len(found.parts) == 1


# Single figures of the same page.
@pytest.mark.parametrize(
    ("strides", "gap", "size", "printed"),
    [(1, 1, "horse", "18'"), (1, 2, "horse", "21'"), (2, 1, "medium pony", "30'")],
)
def test_grid_single_figures(strides: int, gap: int, size: str, printed: str) -> None:
    found = ask(strides, size=size, gait_in="trot", gap=gap)
    assert found.aim_m == pytest.approx(feet(printed), abs=EXACT)


def test_us_rule_of_thumb_stands_beside_the_grid() -> None:
    # published (web article) [S11]: bounce 9-10, one 18-20, two 30-33 ft.
    for strides, low, high in [(0, "9'", "10'"), (1, "18'", "20'"), (2, "30'", "33'")]:
        (other,) = ask(strides, gait_in="trot", gap=1).also
        assert (other.low, other.high) == pytest.approx((feet(low), feet(high)), abs=EXACT)
        assert "[S11]" in other.source


@pytest.mark.parametrize("strides", [0, 1, 2])
@pytest.mark.parametrize("size", ["horse", "small pony"])
def test_distances_grow_down_the_grid(strides: int, size: str) -> None:
    aims = [ask(strides, size=size, gait_in="trot", gap=gap).aim_m for gap in (1, 2, 3, 4)]
    assert aims == sorted(aims)
    assert aims[0] < aims[2] == aims[3]


# published (web article) [S11]: gymnastic lines from trot are 2 to 3 ft shorter than in canter;
# [S126]: the first bounce a little shorter from trot.
@pytest.mark.parametrize("height", ["1'", "1'6\"", "2'", "2'6\"", "3'"])
@pytest.mark.parametrize("size", ["horse", "large pony", "medium pony", "small pony"])
def test_out_of_trot_is_never_longer_than_in_canter(size: str, height: str) -> None:
    low = FenceFacts("vertical", feet(height))
    for strides, least in [(0, 0.0), (1, 2.0), (2, 2.0), (3, 2.0), (4, 2.0)]:
        trotted = ask(strides, size=size, first=low, second=low, gait_in="trot").aim_m
        cantered = ask(strides, size=size, first=low, second=low).aim_m
        assert trotted <= cantered - least * 0.3048 * SHARES[size] + EXACT
    for gap in (2, 3):
        for strides in (0, 1, 2):
            later = ask(strides, size=size, first=low, second=low, gait_in="trot", gap=gap).aim_m
            assert later <= ask(strides, size=size, first=low, second=low).aim_m + EXACT


SHARES = {"horse": 1.0, "large pony": 11.25 / 12, "medium pony": 10.5 / 12, "small pony": 10 / 12}
"""Of the 12-ft stride that the 2 ft are for: the normal strides of the chart [S1]."""


# derived: 17' in canter (19'6" less twice 1'3" at 1'6" [S14]) less 2 ft in proportion [S11]; the
# page of [S8], 16' to 18' for "pony", names no height.
def test_one_stride_of_a_small_pony_over_low_fences_from_trot() -> None:
    low = FenceFacts("cross-rail", feet("1'"))
    found = ask(1, size="small pony", first=low, second=low, gait_in="trot")
    assert found.aim_m == pytest.approx(feet("15'4\""), abs=EXACT)
    assert "no longer than in canter" in found.parts[-1].source


def test_single_fence_trotted_into_is_the_first_gap() -> None:
    assert ask(1, gait_in="trot").aim_m == ask(1, gait_in="trot", gap=1).aim_m


# derived: 48, 60, 72 less the 3 ft of [S5] ("up to 3 ft"). Weak.
@pytest.mark.parametrize(("strides", "worked_out"), [(3, "45'"), (4, "57'"), (5, "69'")])
def test_line_trotted_into_is_shorter(strides: int, worked_out: str) -> None:
    found = ask(strides, gait_in="trot")
    assert found.aim_m == pytest.approx(feet(worked_out), abs=EXACT)
    assert "in from trot" in [part.text for part in found.parts]


def test_line_at_the_end_of_a_grid_is_cantered() -> None:
    assert ask(4, gait_in="trot", gap=3).aim_m == pytest.approx(feet("60'"), abs=EXACT)


# Pole to pole. Horses in trot [S8], in canter [S5]; walk [S27]; ponies by size [S9], walk [S27].
POLES = [
    ("walk", "horse", 0.70, 0.90), ("walk", "small pony", 0.50, 0.60),
    ("trot", "horse", feet("4'6\""), feet("4'9\"")),
    ("trot", "large pony", 1.00, 1.10), ("trot", "medium pony", 0.90, 1.00),
    ("trot", "small pony", 0.80, 0.90),
    ("canter", "horse", feet("9'"), feet("11'")),
    ("canter", "large pony", 2.70, 3.10), ("canter", "medium pony", 2.40, 2.90),
    ("canter", "small pony", 2.10, 2.50),
]  # fmt: skip


@pytest.mark.parametrize(("gait", "size", "low", "high"), POLES)
def test_poles(gait: str, size: str, low: float, high: float) -> None:
    found = ask(0, size=size, first=POLE, second=POLE, gait_in=gait)
    assert (found.low_m, found.high_m) == pytest.approx((low, high), abs=WHOLE_CM)
    assert found.range_source.startswith("published")


def test_sources_that_disagree_on_trot_poles_are_all_kept() -> None:
    said = ask(0, first=POLE, second=POLE, gait_in="trot").also
    keys = {key for other in said for key in keys_in(other.source)}
    assert keys == {"S5", "S6", "S7", "S9", "S26", "S27", "S28", "S29"}


def test_raised_trot_poles_lie_closer() -> None:
    # published (web article) [S9]: about 10 cm or more.
    flat = ask(0, first=POLE, second=POLE, gait_in="trot").aim_m
    raised = ask(0, first=RAISED, second=RAISED, gait_in="trot").aim_m
    assert flat - raised == pytest.approx(0.10, abs=WHOLE_CM)


def test_two_steps_between_trot_poles_are_twice_one() -> None:
    one = ask(0, first=POLE, second=POLE, gait_in="trot").aim_m
    assert ask(1, first=POLE, second=POLE, gait_in="trot").aim_m == pytest.approx(2 * one)


# Placing poles. Horses [S8], after the fence [S5]; ponies [S9].
PLACING_POLES = [
    ("trot", PLACING, VERTICAL, 0, "horse", feet("9'"), feet("9'")),
    ("trot", PLACING, VERTICAL, 0, "large pony", 2.10, 2.40),
    ("trot", PLACING, VERTICAL, 0, "medium pony", 2.00, 2.20),
    ("trot", PLACING, VERTICAL, 0, "small pony", 1.80, 2.00),
    ("canter", PLACING, VERTICAL, 0, "horse", feet("10'"), feet("11'")),
    ("canter", PLACING, VERTICAL, 1, "horse", feet("18'"), feet("20'")),
    ("canter", PLACING, VERTICAL, 0, "small pony", 2.10, 2.50),
    ("trot", VERTICAL, PLACING, 0, "horse", feet("10'"), feet("10'")),
    ("canter", VERTICAL, PLACING, 0, "horse", feet("10'"), feet("11'")),
    ("canter", VERTICAL, PLACING, 0, "large pony", 2.70, 3.10),
]


@pytest.mark.parametrize(
    ("gait", "first", "second", "strides", "size", "low", "high"), PLACING_POLES
)
def test_placing_pole(
    gait: str,
    first: FenceFacts,
    second: FenceFacts,
    strides: int,
    size: str,
    low: float,
    high: float,
) -> None:
    found = ask(strides, size=size, first=first, second=second, gait_in=gait)
    assert found.parts[0].source.startswith("published")
    assert found.aim_m == pytest.approx((low + high) / 2, abs=WHOLE_CM)
    if low < high:
        assert (found.low_m, found.high_m) == pytest.approx((low, high), abs=WHOLE_CM)


def test_placing_pole_after_a_fence_is_not_for_novices() -> None:
    # [S5] says so.
    assert "not for a novice" in ask(0, second=PLACING).note
