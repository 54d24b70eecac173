"""A trainer's own table: what may be left out, and what is said when it is wrong."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest
from trade_measures import CROSS, EXACT, OXER, POLE, VERTICAL, WHOLE_CM, feet

from diagram.diagnostics import RejectedError
from diagram.source import read_text
from diagram.trade.distances import Distance, FenceFacts, Horses, distance
from diagram.trade.horses import horses_from_size
from diagram.trade.stride_tables import StrideTable, load_table, table_names
from diagram.trade.table_reader import read_table


def _table(text: str) -> StrideTable:
    return read_table(read_text(dedent(text).lstrip(), "own.yaml"))


def _ask(
    table: StrideTable,
    strides: int,
    horses: Horses | None = None,
    first: FenceFacts = VERTICAL,
    second: FenceFacts = VERTICAL,
    gait_in: str = "canter",
) -> Distance:
    who = horses or horses_from_size("horse", table)
    return distance(strides, table=table, horses=who, first=first, second=second, gait_in=gait_in)


def test_the_simplest_table(tmp_path: Path) -> None:
    file = tmp_path / "our-school.yaml"
    file.write_text("table: Our school\ndistances: {1: 7.2 m, 2: 10.4-10.8 m, 3: 14.2 m}\n")
    table = load_table(file)
    assert _ask(table, 1).aim_m == pytest.approx(7.2, abs=WHOLE_CM)
    two = _ask(table, 2)
    assert (two.low_m, two.aim_m, two.high_m) == pytest.approx((10.4, 10.6, 10.8), abs=WHOLE_CM)
    assert two.range_source == "own table: Our school"
    assert two.parts[0].text == "for two (Our school, 3.66 m stride)"


def test_what_it_does_not_list_is_derived() -> None:
    table = _table("""
        table: Our school
        normal stride: 11'6"
        distances: {3: 46'}
    """)
    found = _ask(table, 4)
    assert found.aim_m == pytest.approx(feet("57'6\""), abs=EXACT)
    assert found.parts[0].source.startswith("derived")


def test_beyond_its_last_count_it_goes_on_by_its_own_last_step() -> None:
    table = _table("""
        table: Our school
        distances: {5: 21.5 m, 6: 25.0 m}
    """)
    assert _ask(table, 7).aim_m == pytest.approx(28.5, abs=EXACT)
    assert _ask(table, 8).aim_m == pytest.approx(32.0, abs=EXACT)


@pytest.mark.parametrize(
    ("height", "feet_"), [(0.40, 10.0), (0.60, 10.0), (0.75, 11.0), (0.90, 12.0)]
)
def test_a_bounce_that_no_table_has_grows_with_the_fences(height: float, feet_: float) -> None:
    """From 10 ft [S94] over very small fences to 12 ft [S11] over fences of full height."""
    table = _table("""
        table: Our school
        distances: {3: 48'}
    """)
    fence = FenceFacts("vertical", height)
    assert _ask(table, 0, first=fence, second=fence).aim_m == pytest.approx(feet_ * 0.3048)


def test_own_figures_are_taken_as_measured_over_low_fences() -> None:
    table = _table("""
        table: Our school
        distances: {3: 46'}
    """)
    assert _ask(table, 3, first=CROSS, second=CROSS).aim_m == pytest.approx(feet("46'"), abs=EXACT)


def test_a_table_for_ponies() -> None:
    table = _table("""
        table: Monday ponies
        units: feet
        horses: [small pony, medium pony]
        distances: {1: 19'6", 3: 40'}
    """)
    found = _ask(table, 3, horses_from_size("small pony", table))
    assert found.aim_m == pytest.approx(feet("40'"), abs=EXACT)


def test_a_table_by_kind_height_and_gait() -> None:
    table = _table("""
        table: Our grids
        source: measured last winter
        distances:
          - from: spread
            to: vertical
            strides: {1: 7.7 m}
          - height: 0.80 m
            strides: {1: 7.1 m}
          - height: 1.00 m
            strides: {1: 7.5 m}
          - gait in: trot
            strides: {1: {distance: 5.6 m, note: over planks}}
          - from: any pole
            to: any fence
            strides: {1: 5.5 m}
    """)
    assert _ask(table, 1, first=OXER).aim_m == pytest.approx(7.7, abs=WHOLE_CM)
    middle = FenceFacts("vertical", 0.90)
    assert _ask(table, 1, first=middle, second=middle).aim_m == pytest.approx(7.3, abs=WHOLE_CM)
    trotted = _ask(table, 1, gait_in="trot")
    assert trotted.aim_m == pytest.approx(5.6, abs=WHOLE_CM)
    assert (trotted.note, trotted.parts[0].source) == ("over planks", "measured last winter")
    assert _ask(table, 1, first=POLE).aim_m == pytest.approx(5.5, abs=WHOLE_CM)


def _complaint(text: str) -> str:
    with pytest.raises(RejectedError) as caught:
        _table(text)
    return str(caught.value)


def test_everything_wrong_is_said_at_once() -> None:
    said = _complaint("""
        table: Our school
        unit: feet
        normal stride: 3,5 m
        distances:
          - horses: big pony
            strides: {1: 7.2, two: 10.4 m, 4: 17 m, 5: 16 m}
          - hight: 1 m
            gaps: first
            strides:
              1: {distance: 24', sorce: us}
          - {stride: 12'}
    """)
    assert said == dedent("""\
        own.yaml:2:1: error[unknown-key]: a stride table has no "unit"
           2 | unit: feet
             | ^^^^
          hint: did you mean "units"?

        own.yaml:3:16: error[not-a-measure]: '3,5 m' has a comma for a decimal point
           3 | normal stride: 3,5 m
             |                ^^^^^
          hint: write 3.5 m

        own.yaml:5:13: error[unknown-word]: "big pony" is no size
           5 |   - horses: big pony
             |             ^^^^^^^^
          hint: did you mean "large pony" or "medium pony"?

        own.yaml:6:18: error[not-a-measure]: '7.2' has no unit
           6 |     strides: {1: 7.2, two: 10.4 m, 4: 17 m, 5: 16 m}
             |                  ^^^
          hint: write 7.2' or 7.2 m

        own.yaml:6:23: error[not-a-count]: "two" is no count of strides
           6 |     strides: {1: 7.2, two: 10.4 m, 4: 17 m, 5: 16 m}
             |                       ^^^
          hint: write a number from 0 (a bounce) to 60

        own.yaml:6:48: error[strides-overlap]: the distance for 5 strides begins before the one for 4 ends
           6 |     strides: {1: 7.2, two: 10.4 m, 4: 17 m, 5: 16 m}
             |                                                ^^^^

        own.yaml:7:5: error[unknown-key]: a block has no "hight"
           7 |   - hight: 1 m
             |     ^^^^^
          hint: did you mean "height"?

        own.yaml:8:11: error[not-a-gap]: "first" is no gap of a grid
           8 |     gaps: first
             |           ^^^^^
          hint: write 1 or 3 and on

        own.yaml:10:26: error[unknown-key]: a distance has no "sorce"
          10 |       1: {distance: 24', sorce: us}
             |                          ^^^^^
          hint: did you mean "source"?

        own.yaml:11:5: error[missing-key]: a block lacks "strides"
          11 |   - {stride: 12'}
             |     ^^^^^^^^^^^^^""")  # noqa: E501


WRONG = [
    ("- a", "own.yaml:1:1: error[not-keys]: a stride table is written as keys and values"),
    ("table: x", 'own.yaml:1:1: error[missing-key]: a stride table lacks "distances"'),
    ("table: x\ndistances: 12 m", "own.yaml:2:12: error[not-keys]: a block is written as keys"),
    ("table: x\ndistances: []", "own.yaml:2:12: error[no-distances]: the table has no distances"),
    ("table: [a]\ndistances: {1: 7 m}", "own.yaml:1:8: error[not-a-text]: one word or sentence"),
    ("table: x\ndistances: {1: [7 m]}", "own.yaml:2:16: error[not-a-measure]: one measure"),
    ("table: x\ndistances: {1: {}}", 'own.yaml:2:16: error[missing-key]: a distance lacks "dist'),
    ("table: x\ndistances: {1: 0 m}", "own.yaml:2:16: error[not-a-measure]: a distance is longer"),
    ("table: x\ndistances: {1: 8-7 m}", "own.yaml:2:16: error[not-a-measure]: '8-7 m' runs from"),
    ("table: x\ndistances: {999999: 7 m}", 'own.yaml:2:13: error[not-a-count]: "999999" is no c'),
    (
        "table: x\nnormal stride: 40 m\ndistances: {1: 7 m}",
        "own.yaml:2:16: error[not-a-measure]: no horse has a canter stride of 40 m",
    ),
    (
        "table: x\nnormal stride: {hors: 3 m}\ndistances: {1: 7 m}",
        'own.yaml:2:17: error[unknown-word]: "hors" is no size',
    ),
    (
        "table: x\ndistances:\n  - strides: {1: 7 m}\n  - strides: {1: 8 m}",
        "own.yaml:4:5: error[strides-twice]: one stands in two blocks for the same horses",
    ),
]


@pytest.mark.parametrize(("text", "begins"), WRONG)
def test_wrong(text: str, begins: str) -> None:
    assert _complaint(text).startswith(begins)


def test_name_that_is_not_known() -> None:
    with pytest.raises(RejectedError) as caught:
        load_table("us chrat")
    assert str(caught.value) == (
        'error[unknown-table]: there is no stride table "us chrat"\n'
        '  hint: did you mean "us chart"? (an own table is named by its file: my-table.yaml)'
    )


def test_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(RejectedError, match="unreadable-file"):
        load_table(tmp_path / "gone.yaml")


def test_names() -> None:
    assert table_names() == (
        "bhs", "by fence kind", "designer outdoors", "german list", "grid from trot",
        "metre rule", "poles", "recommended list", "schooling", "swedish schooling", "swedish",
        "twelve foot rule", "uk pony magazine", "us chart",
    )  # fmt: skip
    for name in table_names():
        assert load_table(name).name.lower() == name
    assert load_table("US-Chart") is load_table("us chart")
