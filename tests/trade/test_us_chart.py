"""The chart of the US federation, every cell, as the page prints it (misprints put right).

published (handbook, 2nd-hand) [S1]: USEF distance charts, copied on a web page. Feet and inches
convert exactly, so no tolerance but that of the floating point.
"""

from __future__ import annotations

import pytest
from trade_measures import EXACT, VERTICAL, FenceFacts, ask, feet

HORSE_LINES = """
strides  12'    12'3"   12'6"   12'9"   13'   13'3"   13'6"   13'9"
3        48'    49'     50'     51'     52'   53'     54'     55'
4        60'    61'3"   62'6"   63'9"   65'   66'3"   67'6"   68'9"
5        72'    73'6"   75'     76'6"   78'   79'6"   81'     82'6"
6        84'    85'9"   87'6"   89'3"   91'   92'9"   94'6"   96'3"
7        96'    98'     100'    102'    104'  106'    108'    110'
8        108'   110'3"  112'6"  114'9"  117'  119'3"  121'6"  123'9"
"""
"""Seven strides of 13'6" are misprinted 1086'."""

SMALL_PONY_LINES = """
strides  9'9"   10'   10'3"
3        39'    40'   41'
4        48'9"  50'   51'3"
5        58'6"  60'   61'6"
6        68'3"  70'   71'9"
7        78'    80'   82'
8        87'9"  90'   92'3"
"""

MEDIUM_PONY_LINES = """
strides  10'3"  10'6"  10'9"
3        41'    42'    43'
4        51'3"  52'6"  53'9"
5        61'6"  63'    64'6"
6        71'9"  73'6"  75'3"
7        82'    84'    86'
8        92'3"  94'6"  96'9"
"""

LARGE_PONY_LINES = """
strides  11'   11'3"   11'6"   11'9"
3        44'   45'     46'     47'
4        55'   56'3"   57'6"   58'9"
5        66'   67'6"   69'     70'6"
6        77'   78'9"   80'6"   82'3"
7        88'   90'     92'     94'
8        99'   101'3"  103'6"  105'9"
"""

LINES = {
    "horse": HORSE_LINES,
    "small pony": SMALL_PONY_LINES,
    "medium pony": MEDIUM_PONY_LINES,
    "large pony": LARGE_PONY_LINES,
}


def _cells() -> list[tuple[str, int, str, str]]:
    cells = []
    for size, text in LINES.items():
        head, *rows = [line.split() for line in text.strip().splitlines()]
        for row in rows:
            cells += [(size, int(row[0]), head[i], row[i]) for i in range(1, len(head))]
    return cells


def test_there_are_108_line_cells() -> None:
    assert len(_cells()) == 108


@pytest.mark.parametrize(("size", "strides", "stride", "printed"), _cells())
def test_line_cell(size: str, strides: int, stride: str, printed: str) -> None:
    found = ask(strides, size=size, stride_m=feet(stride))
    assert found.aim_m == pytest.approx(feet(printed), abs=EXACT)
    assert found.parts[0].source.startswith("published (handbook, 2nd-hand) [S1]")
    assert found.aim_m == pytest.approx(feet(stride) * (strides + 1), abs=EXACT)


# 4'0" is printed with inch marks for foot marks: 27" and 38".
COMBINATIONS = [
    (1, "3'", "25'6\""), (1, "3'6\"", "26'"), (1, "3'9\"", "26'6\""), (1, "4'", "27'"),
    (2, "3'", "36'6\""), (2, "3'6\"", "37'"), (2, "3'9\"", "37'6\""), (2, "4'", "38'"),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "height", "printed"), COMBINATIONS)
def test_combination_of_horses(strides: int, height: str, printed: str) -> None:
    fence = FenceFacts("vertical", feet(height))
    found = ask(strides, first=fence, second=fence)
    assert found.aim_m == pytest.approx(feet(printed), abs=EXACT)
    assert found.parts[0].source.startswith("published (handbook, 2nd-hand) [S1]")


# Two strides of a medium pony are misprinted 61'6" / 32'.
PONY_COMBINATIONS = [
    (1, "small pony", "19'", "20'"), (1, "medium pony", "21'", "22'"),
    (1, "large pony", "23'", "24'"),
    (2, "small pony", "29'", "30'"), (2, "medium pony", "31'6\"", "32'"),
    (2, "large pony", "34'", "34'6\""),
]  # fmt: skip


@pytest.mark.parametrize(("strides", "size", "low", "high"), PONY_COMBINATIONS)
def test_combination_of_ponies(strides: int, size: str, low: str, high: str) -> None:
    found = ask(strides, size=size)
    assert found.low_m == pytest.approx(feet(low), abs=EXACT)
    assert found.high_m == pytest.approx(feet(high), abs=EXACT)
    assert found.low_m <= found.aim_m <= found.high_m
    assert found.range_source.startswith("published (handbook, 2nd-hand) [S1]")


def test_there_are_14_combination_entries() -> None:
    assert len(COMBINATIONS) + len(PONY_COMBINATIONS) == 14


MISPRINTS = [
    (7, "13'6\"", VERTICAL, "horse", "1086'"),
    (1, "12'", FenceFacts("vertical", feet("4'")), "horse", '27"'),
    (2, "12'", FenceFacts("vertical", feet("4'")), "horse", '38"'),
    (2, "10'6\"", VERTICAL, "medium pony", "61'6\""),
]


@pytest.mark.parametrize(("strides", "stride", "fence", "size", "misprint"), MISPRINTS)
def test_misprint_is_noted(
    strides: int, stride: str, fence: FenceFacts, size: str, misprint: str
) -> None:
    found = ask(strides, size=size, stride_m=feet(stride), first=fence, second=fence)
    assert f"printed {misprint}" in found.note


# derived: stride × (strides + 1), worked out beside the chart, not printed on it.
@pytest.mark.parametrize(
    ("strides", "size", "stride", "worked_out"),
    [
        (9, "horse", "12'3\"", "122'6\""),
        (10, "horse", "13'9\"", "151'3\""),
        (12, "horse", "13'9\"", "178'9\""),
        (9, "small pony", "9'9\"", "97'6\""),
        (10, "large pony", "11'9\"", "129'3\""),
    ],
)
def test_beyond_the_chart_is_derived(strides: int, size: str, stride: str, worked_out: str) -> None:
    found = ask(strides, size=size, stride_m=feet(stride))
    assert found.aim_m == pytest.approx(feet(worked_out), abs=EXACT)
    assert found.parts[0].source.startswith("derived")


def test_height_between_two_columns_is_interpolated() -> None:
    # Half-way from 3'6" to 4'0" by way of 3'9": 26'3" at 3'7½".
    height = (feet("3'6\"") + feet("3'9\"")) / 2
    fence = FenceFacts("vertical", height)
    found = ask(1, first=fence, second=fence)
    assert found.aim_m == pytest.approx((feet("26'") + feet("26'6\"")) / 2, abs=EXACT)
    assert found.parts[0].source.startswith("derived: between two figures of published")


def test_height_off_the_chart_takes_its_end_and_says_so() -> None:
    fence = FenceFacts("vertical", 1.40)
    found = ask(1, first=fence, second=fence)
    assert found.aim_m == pytest.approx(feet("27'"), abs=EXACT)
    assert "fences of 4', the nearest it has to 4'7\"" in found.parts[0].text


def test_stride_between_two_columns_follows_the_rule() -> None:
    found = ask(5, stride_m=feet("12'4\""))
    assert found.aim_m == pytest.approx(feet("12'4\"") * 6, abs=EXACT)
    assert found.parts[1].text == "for a stride of 12'4\""
    assert found.parts[1].source.startswith("derived")


def test_short_stride_shortens_a_combination() -> None:
    fence = FenceFacts("vertical", feet("3'"))
    found = ask(1, stride_m=feet("11'6\""), first=fence, second=fence)
    assert found.aim_m == pytest.approx(feet("24'6\""), abs=EXACT)  # derived: 2 × 6 in less
