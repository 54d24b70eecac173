"""Combinations at the limits of what is told of them, and what is said where.

One stride is 25'6" and two are 36'6" between fences of 3' (published, US chart quoted [S1]), a
bounce 12' [S11]. Where two distances are unlike, each is counted for one stride taken and the
landing: a gap of one stride that is 20 cm long is 10 cm a stride.
"""

from __future__ import annotations

import pytest
from check_trials import (
    FINISH,
    FOOT,
    GREEN,
    START,
    assert_told,
    fence,
    grid,
    of_rule,
    planned,
    told,
    written,
)

from diagram.judging.rows import rows

NAME = "combination-too-hard"
ONE = 25.5 * FOOT
"""Metres of one stride over fences of 3' [S1]."""
OXER = "oxer, height: 3', spread: 2'6\""


def _two_gaps(first_cm: float, second_cm: float, before: str = "") -> str:
    """Two distances of one stride, so many centimetres a stride longer than is asked."""
    gaps = (ONE + 2 * cm / 100 for cm in (first_cm, second_cm))
    after = [f"vertical, after: 1 stride at {gap:.4f} m" for gap in gaps]
    return grid("vertical", *([f"vertical, after: {before}"] if before else []), *after)


@pytest.mark.parametrize(
    ("first", "second", "severity"),
    [
        # "long then short: caution 0.20 m, stop 0.40 m, each at least 0.075 m, common practice"
        (10.1, -10, "caution"),
        (9.9, -10, None),
        (20.1, -20, "stop"),
        (19.9, -20, "caution"),
        (7, -15, None),
        (15, -7, None),
        (40, 40, None),
        # "short then long: 0.40 m"
        (-20.1, 20, "caution"),
        (-19.9, 20, None),
        (-7, 40, None),
        (-40, 7, None),
        (0, 50, None),
    ],
)
def test_two_distances_unlike(first: float, second: float, severity: str | None) -> None:
    found = told(NAME, _two_gaps(first, second))
    assert [grave for grave, _ in found] == ([severity] if severity else [])


def test_what_is_said_of_two_distances_unlike() -> None:
    """By hand: twice 12 cm are 9.4 in, and twice 22 cm are 17.3 in."""
    assert_told(NAME, _two_gaps(12, -12), ("caution", '(9" over) and a short one after it (9"'))
    said = "a short distance to grid b (1'5\" under) and a long one after it (1'5\" over)"
    assert_told(NAME, _two_gaps(-22, 22), ("caution", said))


def test_a_bounce_before_them_hides_nothing() -> None:
    assert_told(NAME, _two_gaps(15, -15, "bounce"), ("caution", "a long distance to grid c"))


def test_a_bounce_is_none_of_the_two() -> None:
    """A bounce a foot long or short, and the stride after it 15 cm a stride the other way."""
    for bounce, cm in ((13, -15), (11, 15)):
        stride = f"vertical, after: 1 stride at {ONE + 2 * cm / 100:.4f} m"
        assert_told(NAME, grid("vertical", f"vertical, after: bounce at {bounce} ft", stride))


def test_two_that_are_in_order_hide_nothing() -> None:
    gaps = (ONE + 2 * cm / 100 for cm in (0, 0, 15, -15))
    after = [f"vertical, after: 1 stride at {gap:.4f} m" for gap in gaps]
    text = grid("vertical", *after)
    assert_told(NAME, text, ("caution", "a long distance to grid d"))


@pytest.mark.parametrize(("strides", "feet", "grave"), [(2, 36.5, "stop"), (3, 48, "caution")])
def test_over_three_strides_there_is_room_to_mend_it(strides: int, feet: float, grave: str) -> None:
    """One stride 25 cm a stride long, and two or three ([S1]) as much too short."""
    long, short = ONE + 2 * 0.25, feet * FOOT - (strides + 1) * 0.25
    fences = (
        fence("birch", "vertical", 10, 8),
        f"hazel: {{kind: vertical, placed: {long:.4f} m beyond birch}}",
        f"oak: {{kind: vertical, placed: {short:.4f} m beyond hazel}}",
    )
    ways = "line: 1 stride", "jump: hazel", f"line: {strides} strides", "jump: oak"
    text = written(fences, (START, "jump: birch", *ways, FINISH))
    assert_told(NAME, text, (grave, "a long distance to hazel"))


@pytest.mark.parametrize(("height", "grave"), [("0.60 m", ["caution"]), ("0.59 m", [])])
def test_low_fences_forgive_it(height: str, grave: list[str]) -> None:
    """Long then short from 0.60 m (common practice): 25 cm more and less than is asked."""
    aims = planned(
        grid("vertical", "vertical, after: 1 stride").replace("level: 3'", f"level: {height}")
    )
    [row] = rows(aims, 12)
    aim = row.gaps[0].distance.aim_m
    text = grid(
        "vertical", f"vertical, after: 1 stride at {aim + 0.25:.4f} m",
        f"vertical, after: 1 stride at {aim - 0.25:.4f} m",
    ).replace("level: 3'", f"level: {height}")  # fmt: skip
    assert [severity for severity, _ in told(NAME, text)] == grave


@pytest.mark.parametrize(
    ("elements", "severity", "said"),
    [
        (("vertical", f"{OXER}, after: bounce"), "stop", "a bounce into grid b, which is a spread"),
        ((OXER, "vertical, after: bounce"), "stop", "a bounce out of grid a, which is a spread"),
        ((OXER, f"{OXER}, after: bounce"), "stop", "a bounce into grid b, which is a spread"),
        (("wall", "vertical, after: bounce"), "caution", "with grid a, which is solid"),
        (("plank", "vertical, after: bounce"), "caution", "with grid a, which lies in flat cups"),
        (("vertical", "plank, after: bounce"), "caution", "with grid b, which lies in flat cups"),
    ],
)
def test_what_a_bounce_is_built_of(elements: tuple[str, ...], severity: str, said: str) -> None:
    assert_told(NAME, grid(*elements), (severity, said))


def test_an_oxer_of_no_width_is_no_spread() -> None:
    """Both of its poles stand in one plane: a horse jumps it as a vertical."""
    assert_told(NAME, grid("vertical", "oxer, spread: 0 m, after: bounce"))


@pytest.mark.parametrize(
    ("heights", "grave"),
    [
        (("1.10 m", "1.10 m", "1.10 m"), ["caution"]),
        (("1.05 m", "1.10 m", "1.10 m"), []),
        (("1.10 m", "1.05 m", "1.10 m"), []),
        (("1.10 m", "1.10 m", "1.05 m"), []),
    ],
)
def test_three_oxers_all_as_high(heights: tuple[str, ...], grave: list[str]) -> None:
    """Trained horses: from 1.10 m (common practice), of which the lowest counts."""
    first, *more = (f"oxer, height: {height}, spread: 1 m" for height in heights)
    found = told(NAME, grid(first, *(f"{one}, after: 1 stride" for one in more)))
    assert [severity for severity, _ in found] == grave


@pytest.mark.parametrize(("after", "grave"), [("1 stride", ["caution"]), ("2 strides", [])])
def test_three_oxers_on_one_stride_each(after: str, grave: list[str]) -> None:
    oxer = "oxer, height: 1.10 m, spread: 1 m"
    text = grid(oxer, f"{oxer}, after: {after}", f"{oxer}, after: 1 stride")
    assert [severity for severity, _ in told(NAME, text)] == grave


@pytest.mark.parametrize(
    ("height", "horses", "first", "grave"),
    [
        # "one stride to an oxer from: trained horse 1.30 m, green horse 0.80 m [S51]"
        ("1.30 m", "12' stride", "vertical", ["caution"]),
        ("1.29 m", "12' stride", "vertical", []),
        ("0.80 m", GREEN, "vertical", ["caution"]),
        ("0.79 m", GREEN, "vertical", []),
        ("0.80 m", GREEN, "oxer, spread: 0.8 m", ["stop"]),
        ("1.30 m", "12' stride", "oxer, spread: 0.8 m", ["caution"]),
    ],
)
def test_one_stride_to_an_oxer(height: str, horses: str, first: str, grave: list[str]) -> None:
    second = "oxer, spread: 0.8 m, after: 1 stride"
    text = grid(first, second, horses=horses).replace("level: 3'", f"level: {height}")
    assert [severity for severity, _ in told(NAME, text)] == grave


@pytest.mark.parametrize(
    ("first", "said"),
    [("vertical", "grid c, an oxer, on one stride for"), ("oxer, spread: 1 m", "oxer to oxer on")],
)
def test_what_is_said_of_one_stride_to_an_oxer(first: str, said: str) -> None:
    """Behind a stride to a vertical or an oxer, at 1.30 m."""
    text = grid("vertical", f"{first}, after: 2 strides", "oxer, spread: 1 m, after: 1 stride")
    assert_told(NAME, text.replace("level: 3'", "level: 1.30 m"), ("caution", said))


@pytest.mark.parametrize(
    ("horses", "bounces", "said"),
    [
        # "bounces in a row: green 2, trained 4; published [S154]"
        ("12' stride", 5, "more than 4 bounces one after another"),
        ("12' stride", 4, ""),
        (GREEN, 3, "more than 2 bounces one after another"),
        (GREEN, 2, ""),
    ],
)
def test_bounces_in_a_row(horses: str, bounces: int, said: str) -> None:
    text = grid("vertical", *["vertical, after: bounce"] * bounces, horses=horses)
    low = text.replace("level: 3'", "level: 2'")
    assert_told(NAME, low, *([("caution", said)] if said else []))


def test_a_stride_between_bounces_counts_anew() -> None:
    bounces = ["vertical, after: bounce"] * 2
    text = grid("vertical", *bounces, "vertical, after: 1 stride", *bounces, horses=GREEN)
    assert_told(NAME, text.replace("level: 3'", "level: 2'"))


@pytest.mark.parametrize(("fences", "grave"), [(9, ["caution"]), (8, [])])
def test_fences_in_one_row(fences: int, grave: list[str]) -> None:
    """Eight elements, published [S153]."""
    more = ["vertical, after: 1 stride", "vertical, after: bounce"] * 4
    text = grid("vertical", *more[: fences - 1], arena="30 x 90 m").replace(
        "level: 3'", "level: 2'"
    )
    assert [severity for severity, _ in told(NAME, text)] == grave


def test_too_many_are_told_of_at_the_last_of_them() -> None:
    more = ["vertical, after: 1 stride", "vertical, after: bounce"] * 4
    text = grid("vertical", *more, arena="30 x 90 m").replace("level: 3'", "level: 2'")
    plan = planned(text)
    [found] = of_rule(plan, NAME)
    last = [plan.fence(f"grid {name}").pose.x for name in "hi"]
    assert dict(found.facts)["at_m"][0] == pytest.approx(sum(last) / 2, abs=0.001)


@pytest.mark.parametrize(("horses", "grave"), [("12' stride", "caution"), (GREEN, "stop")])
def test_a_triple_bar_with_a_fence_close_behind(horses: str, grave: str) -> None:
    text = grid("triple bar, spread: 3'", "vertical, after: 2 strides", horses=horses)
    assert_told(NAME, text, (grave, "grid a is a triple bar with grid b close behind"))


@pytest.mark.parametrize(("feet", "grave"), [(39, ["caution"]), (40, [])])
def test_fences_of_their_own_are_a_combination_up_to_twelve_metres(
    feet: int, grave: list[str]
) -> None:
    """Published [R1]: 12 m, which are 39 ft 4 in. A triple bar and a vertical behind it."""
    fences = (fence("birch", "triple bar, spread: 3'", 20, 8),
              f"hazel: {{kind: vertical, placed: {feet} ft beyond birch}}")  # fmt: skip
    ride = (START, "jump: birch", f"line: {feet} ft", "jump: hazel", FINISH)
    assert [severity for severity, _ in told(NAME, written(fences, ride))] == grave


@pytest.mark.parametrize(
    ("height", "grave"),
    [("1.00 m", []), ("1.01 m", ["caution"]), ("1.15 m", ["caution"]), ("1.16 m", ["stop"])],
)
def test_how_high_a_bounce_may_be(height: str, grave: list[str]) -> None:
    """Trained horses 1.00 m [S95], and a stop over 0.15 m more (common practice)."""
    text = grid("vertical", "vertical, after: bounce").replace("level: 3'", f"level: {height}")
    assert [severity for severity, _ in told("bounce-too-high", text)] == grave


@pytest.mark.parametrize(
    ("text", "severity", "said"),
    [
        (grid("vertical", "vertical, after: bounce at 15 ft"), "stop", "too long for a bounce"),
        (
            grid("vertical", "vertical, after: bounce at 9 ft 3 in"),
            "stop",
            "too short for a bounce",
        ),
        (
            grid("vertical", "vertical, after: 1 stride at 27 ft"),
            "stop",
            '6" too long for 1 stride.',
        ),
        (
            grid("vertical", "vertical, after: 2 strides at 41 ft"),
            "stop",
            "too long for 2 strides.",
        ),
    ],
)
def test_what_is_said_of_a_distance(text: str, severity: str, said: str) -> None:
    assert_told("distance-off", text, (severity, said))


@pytest.mark.parametrize(
    ("after", "grave"),
    [
        # The longest published are 14 ft [S11] and 26'6" [S8]: an inch for each stride taken is a
        # note, and four in all are no stop yet (common practice).
        ("bounce at 14 ft 1 in", "note"),
        ("bounce at 14 ft 2 in", "caution"),
        ("1 stride at 26 ft 8 in", "note"),
        ("1 stride at 26 ft 9 in", "caution"),
        ("1 stride at 26 ft 10 in", "caution"),
        ("1 stride at 26 ft 11 in", "stop"),
    ],
)
def test_an_inch_over_is_an_inch_over(after: str, grave: str) -> None:
    assert_told("distance-off", grid("vertical", f"vertical, after: {after}"), (grave, "too long"))


@pytest.mark.parametrize(
    ("after", "said"),
    [
        # 6.50 to 12 m of one body [R1]; 26'6" are the longest one stride published [S8]
        ("1 stride at 6.48 m", ["note"]),
        ("1 stride at 30 ft", []),
        ("1 stride at 25 ft", []),
        # as two strides it would be in order, and longer than a class has [R2]
        ("1 stride at 37 ft", []),
        ("2 strides at 21 ft", []),
        ("30 ft", []),
    ],
)
def test_a_distance_is_told_of_once(after: str, said: list[str]) -> None:
    """Where a distance is no stride at all, no rule of a body is needed."""
    text = grid("vertical", f"vertical, after: {after}")
    assert [severity for severity, _ in told("combination-outside-limits", text)] == said
    in_order = after in ("1 stride at 25 ft", "1 stride at 6.48 m")
    others = told("distance-off", text) + told("between-two-counts", text)
    assert len(others) == (0 if in_order else 1)


@pytest.mark.parametrize(("height", "grave"), [("0.70 m", "stop"), ("0.69 m", "caution")])
def test_between_two_counts_in_a_combination(height: str, grave: str) -> None:
    """A stop from 0.70 m (common practice): 30 ft are neither one stride nor two."""
    text = grid("vertical", "vertical, after: 30 ft").replace("level: 3'", f"level: {height}")
    assert_told("between-two-counts", text, (grave, "between a long one and a short two"))
