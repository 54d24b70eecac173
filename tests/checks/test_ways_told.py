"""Ways at the limits of what is told of them: lines, strides to a fence, poles, and what is said.

Strides of canter are 12 ft with 6 ft to land and 6 ft to take off, those of trot 2.8 m and of walk
1.6 m. Limits are common practice where no source is named.
"""

from __future__ import annotations

import math

import pytest
from check_trials import (
    BIRCH,
    FINISH,
    FOOT,
    GREEN,
    START,
    assert_told,
    fence,
    of_level,
    of_rule,
    planned,
    single,
    told,
    wanted,
    written,
)

from diagram.checks.rule import strides_text

SCHOOLED = "{size: horse, experience: schooled, stride: 12'}"
STRIDE = 12 * FOOT


TOWARDS, AWAY = "towards the gate", "away from the gate"


def _from_wall(metres: float, gait: str = "canter, left lead") -> str:
    """The first fence so far from the wall behind it, in front of which the ride begins at 1 m."""
    text = single("vertical", x=metres, y=20, arena="40 x 80 m").replace(START, f"start: {gait}")
    return text if gait.startswith("canter") else of_level(text, "1'6\"")


@pytest.mark.parametrize(
    ("text", "severity", "said"),
    [
        # In halves: three wanted, and half a one less; under one and a half of two it is a stop.
        (_from_wall(1 + 6 * FOOT + 2.26 * STRIDE), "", ""),
        (
            _from_wall(1 + 6 * FOOT + 2.24 * STRIDE),
            "caution",
            "two strides of canter to birch",
        ),
        (_from_wall(1 + 6 * FOOT + 1.26 * STRIDE), "caution", "one and a half strides of canter"),
        (_from_wall(1 + 6 * FOOT + 1.24 * STRIDE), "stop", "one stride of canter"),
        (_from_wall(1 + 2.26 * 2.8, "trot"), "", ""),
        (_from_wall(1 + 2.24 * 2.8, "trot"), "caution", "two strides of trot to birch from the"),
        (_from_wall(1 + 1.26 * 2.8, "trot"), "caution", "3 are wanted"),
        (_from_wall(1 + 1.24 * 2.8, "trot"), "stop", "one stride of trot"),
        (_from_wall(1 + 2.26 * 1.6, "walk"), "", ""),
        (_from_wall(1 + 2.24 * 1.6, "walk"), "caution", "two strides of walk"),
        (_from_wall(1 + 1.0 * 1.6, "walk"), "caution", "one stride of walk"),
    ],
)
def test_strides_from_the_start(text: str, severity: str, said: str) -> None:
    assert_told("approach-too-short", text, *wanted(severity, said))


def _halted(after: int, what: str = "halt 4 seconds", horses: str = "12' stride") -> str:
    """A line of nine strides with a halt after so many: nine less those are ridden on."""
    fences = (
        fence("birch", "vertical", 15),
        "hazel: {kind: vertical, placed: 9 strides beyond birch}",
    )
    way = f"line: 9 strides, {what} after {after} strides"
    return written(fences, (START, "jump: birch", way, "jump: hazel", FINISH), arena="30 x 110 m",
                   horses=horses)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "severity", "said"),
    [
        # after a halt: trained 5, green 6, schooled 4; three are enough for who is not green
        (_halted(4), "", ""),
        (_halted(5), "note", "four strides of canter to hazel after the halt; 5 are wanted"),
        (_halted(6), "note", "three strides"),
        (_halted(7), "caution", "two strides"),
        (_halted(3, horses=GREEN), "", ""),
        (_halted(4, horses=GREEN), "caution", "five strides of canter to hazel after the halt; 6"),
        (_halted(5, horses=SCHOOLED), "", ""),
        (_halted(6, horses=SCHOOLED), "note", "three strides of canter to hazel after the halt; 4"),
    ],
)
def test_strides_after_a_halt(text: str, severity: str, said: str) -> None:
    assert_told("approach-too-short", text, *wanted(severity, said))


def test_a_fence_come_to_in_the_same_gait_hides_nothing() -> None:
    """Five strides in canter, and then nine with a halt after seven: two to canter on."""
    fences = (
        fence("birch", "vertical", 15),
        "hazel: {kind: vertical, placed: 5 strides beyond birch}",
        "oak: {kind: vertical, placed: 9 strides beyond hazel}",
    )
    ways = ("line: 5 strides", "jump: hazel", "line: 9 strides, halt 4 seconds after 7 strides",
            "jump: oak")  # fmt: skip
    text = written(fences, (START, "jump: birch", *ways, FINISH), arena="30 x 120 m")
    assert_told("approach-too-short", text, ("caution", "two strides of canter to oak"))


def _run(heading: float, said: str, middle: tuple[float, float], names: str = "ab") -> list[str]:
    """The fences of a line of 72 ft about a middle, and its steps."""
    x, y = (
        m - 36 * FOOT * f(math.radians(heading))
        for m, f in zip(middle, (math.cos, math.sin), strict=True)
    )
    first, second = names
    return [
        fence(first, "vertical", x, y, heading),
        f"{second}: {{kind: vertical, placed: 72 ft beyond {first}}}",
        f"jump: {first}", f"line: 5 strides, {said}", f"jump: {second}",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("heading", "said", "wrong"),
    [
        # 120 degrees from the way it is said to run; the gate is straight on along x.
        *((h, TOWARDS, abs(h) > 120) for h in (0, 119, 121, -119, -121, 180)),
        *((h, AWAY, abs(h) < 60) for h in (0, 59, 61, -59, -61, 180)),
    ],
)
def test_a_line_said_to_run_to_the_gate_or_from_it(heading: int, said: str, wrong: bool) -> None:
    *fences, one, way, other = _run(heading, said, (35, 20))
    arena = "{size: 80 x 40 m, gate: {side: right}}"
    text = written(tuple(fences), (START, one, way, other, FINISH), arena=arena)
    words = f"a to b is reckoned as {said}, and runs the other way"
    assert_told("said-the-wrong-way", text, *([("caution", words)] if wrong else []))


@pytest.mark.parametrize(
    ("heading", "second", "wrong"),
    [(119, "uphill", 0), (121, "uphill", 1), (-119, "uphill", 0), (-121, "uphill", 1),
     (180, "downhill", 0), (0, "downhill", 0)],
)  # fmt: skip
def test_two_lines_uphill(heading: int, second: str, wrong: int) -> None:
    """The one at 20 degrees, the other turned from it."""
    *fences, one, way, other = _run(20, "uphill", (20, 20))
    *more, jump, line, last = _run(20 + heading, second, (55, 20), "cd")
    ride = (START, one, way, other, "turn: left", jump, line, last, FINISH)
    text = written((*fences, *more), ride, arena="80 x 40 m")
    words = "c to d is reckoned as uphill, and runs the other way. say it in the step of the line: "
    found = [("caution", f"{words}line: 5 strides, downhill")] * wrong
    assert_told("said-the-wrong-way", text, *found)


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        # 72 ft less 12 in so many strides of 12 ft: from 83 to 115 in a hundred of that
        ("5 or 6 strides", ""),
        ("5 or 8 strides", "in 8 strides this is no choice: each would be 7'6\", 62% of normal"),
        ("5 or 4 strides", "in 4 strides this is no choice: each would be 15', 125% of normal"),
    ],
)
def test_a_line_in_two_counts(counts: str, said: str) -> None:
    hazel = "hazel: {kind: vertical, placed: 72 ft beyond birch}"
    ride = (START, "jump: birch", f"line: {counts}", "jump: hazel", FINISH)
    text = written((BIRCH, hazel), ride)
    assert_told("no-choice", text, *wanted("caution" * bool(said), said))


def _in_two_counts(turn: int, other: int | str) -> str:
    hazel = f"hazel: {{kind: vertical, placed: '72 ft beyond birch, turned left {turn}°'}}"
    way = f"bend: left, 5 strides\n    ways: [{other}]"
    ride = (START, "jump: birch", way, "jump: hazel", FINISH)
    return written((fence("birch", "vertical", 20, 8), hazel), ride)


@pytest.mark.parametrize(
    ("turn", "other", "said"),
    [
        (60, 9, "in 9 strides this is no choice: the longest line is 72'9\", 42'3\" too short"),
        (60, 3, "in 3 strides this is no choice: the shortest line is 66'6\", 16'6\" too long"),
        (150, 9, "there is no line of one bend in 9 strides between these fences"),
    ],
)
def test_a_bend_in_two_counts(turn: int, other: int, said: str) -> None:
    """Three strides are from 45 to 50 ft and nine from 115 ft, round [S1]."""
    assert_told("no-choice", _in_two_counts(turn, other), ("caution", said))


def test_of_two_more_counts_the_second_is_told_of_too() -> None:
    """Round 90 degrees seven strides are cut to six, and to no five."""
    elm = 'elm: {kind: vertical, placed: "7 strides beyond birch, turned left 90°"}'
    way = "bend: left 90°, 7 strides\n    ways: [6, 5]"
    ride = (START, "jump: birch", way, "jump: elm", FINISH)
    text = written((fence("birch", "vertical", 30, 12), elm), ride, arena="50 x 80 m")
    assert_told("no-choice", text, ("caution", "in 5 strides this is no choice"))


@pytest.mark.parametrize(
    ("gaps", "gait", "severity", "said"),
    [
        # a tenth of a metre unlike; two trot poles alone may be jumped at once [S29]
        ((1.3, 1.3, 1.41), "trot", "caution", "lie 4'3\" and 4'8\" apart"),
        ((1.3, 1.3, 1.40), "trot", "", ""),
        ((1.45, 1.3, 1.3, 1.3), "trot", "caution", "lie 4'3\" and 4'9\" apart"),
        ((1.3,), "trot", "note", "two trot poles alone"),
        ((3.0,), "canter, left lead", "", ""),
        ((1.3, 2.1), "trot", "note", "two trot poles alone"),
        ((2.1, 1.3), "trot", "note", "two trot poles alone"),
        ((3.0, 3.2), "canter, left lead", "caution", "the poles of one row"),
        ((3.0, 4.0), "canter, left lead", "", ""),
    ],
)
def test_poles_in_a_row(gaps: tuple[float, ...], gait: str, severity: str, said: str) -> None:
    x, fences, ride = 20.0, [fence("pole 0", "ground pole", 20, 8)], ["jump: pole 0"]
    for n, gap in enumerate(gaps, 1):
        x += gap
        fences.append(fence(f"pole {n}", "ground pole", x, 8))
        ride += [f"line: {gap} m", f"jump: pole {n}"]
    text = written(tuple(fences), (f"start: {gait}", *ride, FINISH))
    assert_told("uneven-poles", text, *wanted(severity, said))


@pytest.mark.parametrize(
    ("kind", "length", "horses", "said"),
    [
        # 10 ft behind a spread [S5], from 0.60 m wide; behind any fence for green horses 15 ft
        ("oxer, spread: 0.60 m", "9 ft 11 in", "12' stride", "where a horse lands from a spread"),
        ("oxer, spread: 0.60 m", "10 ft", "12' stride", ""),
        ("oxer, spread: 0.59 m", "9 ft 11 in", "12' stride", ""),
        ("vertical", "9 ft", "12' stride", ""),
        ("vertical", "15 ft", GREEN, "and the horses are green"),
        ("ground pole", "9 ft", GREEN, ""),
    ],
)
def test_a_pole_behind_a_fence(kind: str, length: str, horses: str, said: str) -> None:
    hazel = f"hazel: {{kind: placing pole, placed: {length} beyond birch}}"
    ride = (START, "jump: birch", f"line: {length}", "jump: hazel", FINISH)
    text = written((fence("birch", kind, 20, 8), hazel), ride, horses=horses)
    assert_told("placing-pole-behind-a-fence", text, *wanted("caution" * bool(said), said))


@pytest.mark.parametrize(
    ("y", "severity", "said"),
    [
        (0.91, "", ""),
        (0.89, "caution", "comes within 2'11\" of the rail"),
        (0.31, "caution", "within 1' of"),
        (0.29, "stop", 'within 11" of'),
    ],
)
def test_a_track_by_the_rail(y: float, severity: str, said: str) -> None:
    """The last of the findings is that of the way out, which begins over the pole at 18 m."""
    found = told("off-the-arena", single("ground pole", x=18, y=y))
    assert [grave for grave, _ in found[-1:]] == [severity] * bool(severity)
    assert all(said in words for _, words in found)


@pytest.mark.parametrize(
    ("behind", "severity"),
    # three strides of canter straight back, less a quarter; under one it is a caution
    [(2.76, ""), (2.74, "note"), (1.01, "note"), (0.99, "caution")],
)
def test_a_rail_behind_the_start(behind: float, severity: str) -> None:
    """A fence in a narrow arena, begun four strides and a take-off before it."""
    start = 16.459  # metres before the fence, as `begins` below makes sure
    x = start + behind * STRIDE
    text = single("vertical", x=x, y=8, arena="60 x 16 m")
    begins = planned(text).legs[0].curve.start.x
    assert begins == pytest.approx(x - start, abs=0.001)
    assert_told("start-off-the-wall", text, *wanted(severity, "begins with a rail close behind"))


@pytest.mark.parametrize(
    ("strides", "said"),
    [
        ("after 2 strides", "21'1\" are missing after the walk. lengthen the line by 2 strides"),
        ("after 0 strides", "are missing before the walk. lengthen the line by 1 stride,"),
        ("in the middle", "are missing before and after the walk"),
    ],
)
def test_room_missing_beside_a_walk(strides: str, said: str) -> None:
    hazel = "hazel: {kind: vertical, placed: 40 ft beyond birch}"
    way = f"line: 40 ft, walk 5 steps {strides}"
    text = written((fence("birch", "vertical", 10), hazel), (START, "jump: birch", way,
                   "jump: hazel", FINISH))  # fmt: skip
    assert_told("no-room-for-transition", text, ("stop", said))


def test_a_transition_short_of_room_is_told_in_its_middle() -> None:
    """Of 92 ft 46 ft on; two thirds of a stride are not said to be a whole one more."""
    hazel = "hazel: {kind: vertical, placed: 92 ft beyond birch}"
    way = "line: 92 ft, walk 4 steps in the middle"
    text = written((fence("birch", "vertical", 10), hazel), (START, "jump: birch", way,
                   "jump: hazel", FINISH))  # fmt: skip
    said = "a line of six and a half strides of canter leaves little room for a walk; 7 are wanted"
    assert_told("no-room-for-transition", text, ("caution", said))
    [found] = of_rule(planned(text), "no-room-for-transition")
    assert dict(found.facts)["at_m"] == pytest.approx((10 + 46 * FOOT, 15), abs=0.001)


@pytest.mark.parametrize(
    ("way", "said"),
    [
        ("line: 3 strides, flying change", "three strides before the take-off for a flying change; "
         "4 are wanted. land on the left lead, or give the line more strides"),
        ("line: 5 strides, flying change", ""),
    ],
)  # fmt: skip
def test_a_change_on_a_line(way: str, said: str) -> None:
    """Two strides for it, and two on the new lead [S37]."""
    count = way.split()[1]
    hazel = f"hazel: {{kind: vertical, placed: {count} strides beyond birch}}"
    text = written((BIRCH, hazel), (START, "jump: birch, land right", way, "jump: hazel", FINISH))
    assert_told("no-room-for-change", text, *wanted("caution" * bool(said), said))


def test_a_change_before_a_turn() -> None:
    fences = fence("birch", "vertical", 45, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch, land right", "turn: left, flying change", "jump: elm", FINISH)
    said = "before the turn for a flying change; 2 are wanted. land on the left lead, or ride"
    assert_told("no-room-for-change", written(fences, ride), ("caution", said))


@pytest.mark.parametrize(
    ("y", "facing", "said"),
    [
        (8.1, 0, 'elm stands 4" to the left of the line from birch, and is turned 0.0° from it'),
        (7.9, 355, 'elm stands 4" to the right of the line from birch, and is turned 5.0° from'),
        (8.0, 3, "elm is turned 3.0° from the line from birch"),
    ],
)
def test_a_line_that_is_not_straight(y: float, facing: float, said: str) -> None:
    fences = BIRCH, fence("elm", "vertical", 20 + 72 * FOOT, y, facing)
    ride = (START, "jump: birch", "line: 5 strides", "jump: elm", FINISH)
    assert_told("line-not-straight", written(fences, ride), ("caution", said))


def test_a_combination_on_an_angle() -> None:
    """24 ft on at 20 degrees: the sine of that, 0.342, of 25'6\" is 8'9\"."""
    whole = (
        "grid: {kind: combination, at: [15 m, 15 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}"
    )
    text = written((whole,), (START, "jump: grid, angled left 20°", FINISH))
    said = "grid b lies 8'9\" to the right of the way on from grid a"
    assert_told("line-not-straight", text, ("caution", said))


@pytest.mark.parametrize(
    ("said_cm", "found"), [(5, []), (5.1, ["caution"]), (-5, []), (-5.1, ["caution"])]
)
def test_a_length_that_is_not_as_said(said_cm: float, found: list[str]) -> None:
    """Five centimetres, whatever the last digit of the difference."""
    length = f"{21.95 + said_cm / 100:.3f} m"
    hazel = "hazel: {kind: vertical, placed: 21.95 m beyond birch}"
    ride = (START, "jump: birch", f"line: {length}", "jump: hazel", FINISH)
    findings = told("distance-off", written((BIRCH, hazel), ride))
    assert [severity for severity, _ in findings] == found


def test_a_distance_that_is_off_by_two_measures_is_told_of_once() -> None:
    """77'2" between fences of 3'9": two feet over all published [S4], five over what is asked."""
    hazel = "hazel: {kind: vertical, placed: 77 ft 2 in beyond birch}"
    ride = (START, "jump: birch", "line: 5 strides", "jump: hazel", FINISH)
    text = of_level(written((BIRCH, hazel), ride), "3'9\"")
    assert_told("distance-off", text, ("stop", "77'2\" is 2' too long for 5 strides"))


def test_what_rounds_to_nothing_is_a_little() -> None:
    """The longest five published is 22.90 m [S4], and 75'2\" are 22.91 m."""
    hazel = "hazel: {kind: vertical, placed: 75 ft 2 in beyond birch}"
    ride = (START, "jump: birch", "line: 5 strides", "jump: hazel", FINISH)
    said = "75'2\" is a little too long for 5 strides"
    assert_told("distance-off", written((BIRCH, hazel), ride), ("note", said))


@pytest.mark.parametrize(
    ("feet", "severity", "said"),
    [(24, "", ""), (25, "stop", "25' is a canter distance for 1 stride, and it is ridden into")],
)
def test_a_canter_distance_in_a_grid_from_trot(feet: int, severity: str, said: str) -> None:
    """One stride from trot is 18 ft [S8], and the longest published 24 ft."""
    whole = (
        "grid: {kind: combination, at: [15 m, 15 m], facing: 0°, "
        f"elements: [{{kind: vertical}}, {{kind: vertical, after: 1 stride at {feet} ft}}]}}"
    )
    text = written((whole,), ("start: trot", "jump: grid", FINISH))
    assert_told("trotted-into-at-canter-length", text, *wanted(severity, said))


@pytest.mark.parametrize(
    ("strides", "words"),
    [
        (0, "no stride"), (0.2, "no stride"), (0.3, "half a stride"), (1, "one stride"),
        (1.5, "one and a half strides"), (2, "two strides"), (8, "eight strides"),
        (8.5, "eight and a half strides"), (9, "9 strides"), (9.5, "9 and a half strides"),
    ],
)  # fmt: skip
def test_strides_as_a_rider_counts_them(strides: float, words: str) -> None:
    assert strides_text(strides) == words
