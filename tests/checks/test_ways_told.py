"""Ways at the limits of what is told of them: lines, turns, tracks, and what is said of each.

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
    START,
    assert_told,
    fence,
    of_rule,
    planned,
    single,
    told,
    written,
)

from diagram.checks.rule import strides_text

GREEN = "{size: horse, experience: green, stride: 12'}"
SCHOOLED = "{size: horse, experience: schooled, stride: 12'}"
STRIDE = 12 * FOOT


def _wanted(severity: str, said: str) -> list[tuple[str, str]]:
    return [(severity, said)] if severity else []


def _of_level(text: str, height: str) -> str:
    return text.replace("level: 3'", f"level: {height}")


def _from_wall(metres: float, gait: str = "canter, left lead") -> str:
    """The first fence so far from the wall behind it, in front of which the ride begins at 1 m."""
    text = single("vertical", x=metres, y=20, arena="40 x 80 m").replace(START, f"start: {gait}")
    return text if gait.startswith("canter") else _of_level(text, "1'6\"")


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
    assert_told("approach-too-short", text, *_wanted(severity, said))


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
    assert_told("approach-too-short", text, *_wanted(severity, said))


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


TOWARDS, AWAY = "towards the gate", "away from the gate"


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


def _crossed(*across: float, more: str = "", y: float = 30) -> str:
    """One ride along y from 20 to 42, another over it at each x, from 19 m to 41 and back."""
    fences = [fence("along", "vertical", 20, y), fence("on", "vertical", 42, y)]
    ride: list[str] = []
    for n, x in enumerate(across):
        up = n % 2 == 0
        fences += [
            fence(f"here {n}", "vertical", x, 19 if up else 41, 90 if up else 270),
            fence(f"there {n}", "vertical", x, 41 if up else 19, 90 if up else 270),
        ]
        turn = ["turn: right"] if n else []
        ride += [*turn, f"jump: here {n}", "line: 22 m", f"jump: there {n}"]
    text, _, _ = _of_level(written(tuple(fences), (), arena="80 x 60 m"), "2'").partition("ride:\n")
    one = ("jump: along", "line: 22 m", "jump: on")
    rides = "".join(
        f"  - name: {name}\n    ride:\n" + "".join(f"      - {step}\n" for step in steps)
        for name, steps in (("one", one), ("other", ride))
    )
    return f"{text}rides:\n{rides}{more}"


@pytest.mark.parametrize(
    ("across", "said"),
    [
        ((31,), "one and other go at once, and meet at one spot"),
        # Less than 8 m apart is one place.
        ((31, 36), "meet at one spot"),
        ((31, 44), "meet at 2 spots"),
        ((25,), "meet at one spot"),
        ((35,), "meet at one spot"),
        ((43,), "meet at one spot"),
        # 12 m behind the last fence, to 54 m, and 2.4 m beside that: in half metres of the track.
        ((56.1,), "meet at one spot"),
        ((56.5,), ""),
    ],
)
def test_rides_that_meet(across: tuple[float, ...], said: str) -> None:
    assert_told("rides-meet", _crossed(*across), *([("caution", said)] if said else []))


@pytest.mark.parametrize(("y", "meet"), [(52, True), (57, False)])
def test_the_other_keeps_clear_on_its_way_out(y: float, meet: bool) -> None:
    """Its last fence is at 41 m: 12 m on it is at 53, and nobody else's ground at 57."""
    found = [("caution", "meet at one spot")] if meet else []
    assert_told("rides-meet", _crossed(31, y=y), *found)


def test_rides_meet_on_a_slant() -> None:
    """One goes along y = x from 20 to 36 m and on: the other crosses it at 41."""
    text = _crossed(41).replace("at: [42 m, 30 m], facing: 0°", "at: [36 m, 36 m], facing: 45°")
    slanted = text.replace("at: [20 m, 30 m], facing: 0°", "at: [20 m, 20 m], facing: 45°")
    later = slanted.replace("[41 m, 19 m]", "[41 m, 30 m]").replace("[41 m, 41 m]", "[41 m, 52 m]")
    way = f"line: {16 * math.sqrt(2):.3f} m"
    [found] = of_rule(planned(later.replace("line: 22 m", way, 1)), "rides-meet")
    assert dict(found.facts)["at_m"] == pytest.approx((41, 41), abs=0.5)


def test_the_nearest_spot_is_the_one_that_is_told() -> None:
    """At 31 the tracks cross; at 56.1 the other passes two metres behind the last 12 m."""
    [found] = of_rule(planned(_crossed(31, 56.1)), "rides-meet")
    assert dict(found.facts)["at_m"] == pytest.approx((31, 30), abs=0.25)


def test_each_of_the_other_rides_is_looked_at() -> None:
    """A third that crosses nobody, between the two that do."""
    apart = "  - name: third\n    ride:\n      - jump: far\n"
    text = _crossed(31).replace("  - name: other", f"{apart}  - name: other")
    fences = text.replace("fences:\n", f"fences:\n  {fence('far', 'vertical', 70, 50, 90)}\n")
    assert_told("rides-meet", fences, ("caution", "one and other go at once"))


def test_rides_meet_where_the_tracks_cross() -> None:
    """At 31, 30, in the step of the line from along to on."""
    [found] = of_rule(planned(_crossed(31)), "rides-meet")
    assert dict(found.facts)["at_m"] == pytest.approx((31, 30), abs=0.25)
    assert found.span is not None
    assert _crossed(31).splitlines()[found.span.line - 1].strip() == "- line: 22 m"


def _ahead(metres: float, *, y: float = 8, facing: float = 0, horses: str = "12' stride") -> str:
    """Elm ahead of birch, and a turn away to oak."""
    fences = (BIRCH, fence("elm", "vertical", 20 + metres, y, facing),
              fence("oak", "vertical", 30, 22, 180))  # fmt: skip
    ride = (START, "jump: birch, land left", "turn: left", "jump: oak", FINISH)
    return written(fences, ride, horses=horses)


def _strides(count: float) -> float:
    """Metres between two fences with so many strides to ride."""
    return count * STRIDE + 12 * FOOT


@pytest.mark.parametrize(
    ("text", "severity"),
    [
        # up to four strides, a caution within 2.5 for trained horses and four for green ones
        (_ahead(_strides(2.49)), "caution"),
        (_ahead(_strides(2.51)), "note"),
        (_ahead(_strides(3.99)), "note"),
        (_ahead(_strides(4.01)), ""),
        (_ahead(_strides(3.99), horses=GREEN), "caution"),
        (_ahead(_strides(2.01), horses=SCHOOLED), "note"),
        # within 1.5 m of the line ahead, and 15 degrees of it, either way round
        *((_ahead(12, y=8 + y), "caution" if abs(y) < 1.5 else "") for y in (1.49, 1.51, -1.49)),
        (_ahead(12, y=6.49), ""),
        *((_ahead(12, facing=f), "caution") for f in (14.9, -14.9, 165.1, -165.1)),
        *((_ahead(12, facing=f), "") for f in (15.1, -15.1, 164.9)),
        (_ahead(12).replace("elm: {kind: vertical", "elm: {kind: ground pole"), ""),
    ],
)
def test_a_fence_seen_ahead_that_the_ride_turns_from(text: str, severity: str) -> None:
    said = "dead ahead of birch, and the ride turns away from it"
    assert_told("line-seen-ahead", text, *_wanted(severity, said))


def test_what_is_seen_ahead_begins_with_its_front() -> None:
    """An oxer of 1 m, 12 m on: 11.5 m, which are 37'9\", with 12 ft to land and to take off."""
    text = _ahead(12).replace("elm: {kind: vertical", "elm: {kind: oxer, spread: 1 m")
    [found] = of_rule(planned(text), "line-seen-ahead")
    assert "37'9\" dead ahead" in found.message
    assert dict(found.facts)["figure"] == pytest.approx((11.5 - 12 * FOOT) / STRIDE, abs=1e-4)


@pytest.mark.parametrize(
    ("strides", "severity", "said"),
    [
        (2.4, "caution", "with a circle to ride before it; whoever goes straight on has two and a"),
        (2.6, "note", "with a circle to ride before it"),
        (3.4, "note", "whoever goes straight on has three and a half strides"),
        # Three strides fit: it is told that it is there, and not that the ride turns from it.
        (3.0, "note", "dead ahead of birch, and the ride goes round before it"),
    ],
)
def test_a_circle_before_a_fence_ahead(strides: float, severity: str, said: str) -> None:
    fences = BIRCH, fence("elm", "vertical", 20 + _strides(strides), 8)
    ride = (START, "jump: birch, land left", "turn: left", "circle: left, 12 m", "jump: elm",
            FINISH)  # fmt: skip
    assert_told("line-seen-ahead", written(fences, ride), (severity, said))


@pytest.mark.parametrize(("height", "grave"), [("1.09 m", "caution"), ("1.10 m", "stop")])
def test_a_turn_that_comes_back_over_the_first_fence(height: str, grave: str) -> None:
    """Hazel 19.4 m straight on, between the longest four and the shortest five."""
    fences = BIRCH, fence("hazel", "vertical", 39.4, 8)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: hazel", FINISH))
    said = "a turn to it comes back over birch, and as a line it rides as between a long four"
    assert_told("line-seen-ahead", _of_level(text, height), (grave, said))


def test_an_element_left_out_is_not_seen_ahead_of_the_other() -> None:
    whole = (
        "grid: {kind: combination, at: [20 m, 8 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}"
    )
    ride = (START, "jump: grid a", "turn: left", "jump: oak", FINISH)
    text = written((whole, fence("oak", "vertical", 30, 22, 180)), ride)
    assert_told("line-seen-ahead", text)


def test_elements_of_one_combination_are_not_seen_ahead_of_each_other() -> None:
    whole = (
        "grid: {kind: combination, at: [20 m, 8 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}"
    )
    ride = (START, "jump: grid", "turn: left", "jump: oak", FINISH)
    text = written((whole, fence("oak", "vertical", 30, 22, 180)), ride)
    assert_told("line-seen-ahead", text)


@pytest.mark.parametrize(
    ("height", "severity"), [("1.09 m", "caution"), ("1.10 m", "stop"), ("0.90 m", "caution")]
)
def test_a_turn_that_is_a_line_and_rides_as_no_count(height: str, severity: str) -> None:
    """From 20, 15 to 39, 18.2: 19.5 m between the longest four and the shortest five."""
    fences = fence("birch", "vertical", 20, 15), fence("hazel", "vertical", 39, 18.2, 20)
    ride = (START, "jump: birch", "turn: left", "jump: hazel", FINISH)
    said = "to hazel is a line, and rides as between a long four and a short five: neither"
    text = _of_level(written(fences, ride), height)
    assert_told("related-and-not-said", text, (severity, said))


def _line_or_turn(way: str) -> str:
    fences = fence("birch", "vertical", 20, 15), fence("hazel", "vertical", 41.5, 18.2, 20)
    return written(fences, (START, "jump: birch", way, "jump: hazel", FINISH))


@pytest.mark.parametrize(
    ("way", "said"),
    [
        ("turn: left", "to hazel is a line of 5, and not said to be one"),
        ("turn: left, walk 4 steps in the middle", ""),
        ("bend: left", ""),
    ],
)
def test_a_turn_that_is_a_line(way: str, said: str) -> None:
    assert_told("related-and-not-said", _line_or_turn(way), *_wanted("note" * bool(said), said))


@pytest.mark.parametrize(
    ("x", "said"),
    # Up to seven strides of 96 ft fences are related [R50].
    [(44, "to hazel is a line of 7, and not said to be one"), (48, "")],
)
def test_a_turn_that_is_a_long_line(x: float, said: str) -> None:
    fences = fence("birch", "vertical", 15, 15), fence("hazel", "vertical", x, 18.5, 20)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: hazel", FINISH))
    assert_told("related-and-not-said", text, *_wanted("note" * bool(said), said))


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
    assert_told("no-choice", text, *_wanted("caution" * bool(said), said))


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
    assert_told("no-choice", _in_two_counts(60, "5, 9"), ("caution", "in 9 strides"))


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
    assert_told("uneven-poles", text, *_wanted(severity, said))


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
    assert_told("placing-pole-behind-a-fence", text, *_wanted("caution" * bool(said), said))


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
    assert_told("start-off-the-wall", text, *_wanted(severity, "begins with a rail close behind"))


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
    assert_told("no-room-for-change", text, *_wanted("caution" * bool(said), said))


def test_a_change_before_a_turn() -> None:
    fences = fence("birch", "vertical", 45, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch, land right", "turn: left, flying change", "jump: elm", FINISH)
    said = "before the turn for a flying change; 2 are wanted. land on the left lead, or ride"
    assert_told("no-room-for-change", written(fences, ride), ("caution", said))


@pytest.mark.parametrize(
    ("start", "land", "way", "said"),
    [
        ("right", "", "turn: left", "the turn goes left on the right lead"),
        ("left", ", land right", "turn: left", "the turn goes left on the right lead"),
        ("left", "", "turn: left", ""),
    ],
)
def test_the_lead_of_a_turn(start: str, land: str, way: str, said: str) -> None:
    fences = fence("birch", "vertical", 30, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (f"start: canter, {start} lead", f"jump: birch{land}", way, "jump: elm", FINISH)
    text = written(fences, ride)
    assert_told("lead-against-the-turn", text, *_wanted("caution" * bool(said), said))
    for found in of_rule(planned(text), "lead-against-the-turn"):
        [(span, words)] = found.related
        assert words == "the right lead comes from here"
        step = text.splitlines()[span.line - 1] if span else ""
        assert ("land right" if land else "right lead") in step


def test_counter_canter_on_the_inside_lead() -> None:
    fences = fence("birch", "vertical", 30, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch, land left", "turn: left, counter-canter", "jump: elm", FINISH)
    said = "counter-canter is asked for, and left is the inside lead here. land on the right lead"
    assert_told("lead-against-the-turn", written(fences, ride), ("note", said))


def test_a_turn_that_opens_out_first() -> None:
    fences = fence("birch", "vertical", 30, 8), fence("elm", "vertical", 30, 14, 180)
    ride = (START, "jump: birch, land left", "turn: left", "jump: elm", FINISH)
    found = told("lead-against-the-turn", written(fences, ride))
    assert found
    for severity, said in found:
        assert severity == "note"
        assert "the turn first opens out to the right on the left lead" in said


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


@pytest.mark.parametrize(
    ("y", "facing", "said"),
    # two centimetres aside are in line, with a circle on the way; three are not, nor is a turn
    [(8.01, 0, ""), (8.03, 0, 'stands 1" to the left'), (8.0, 3, "is turned 3.0° from the line")],
)
def test_a_circle_on_a_straight_line(y: float, facing: float, said: str) -> None:
    fences = BIRCH, fence("elm", "vertical", 44, y, facing)
    ride = (START, "jump: birch", "circle: left 15 m", "line: 20 m", "jump: elm", FINISH)
    text = written(fences, ride)
    assert_told("line-not-straight", text, *_wanted("caution" * bool(said), said))


def test_a_pole_hides_no_fence_near_the_rail() -> None:
    """A pole and a turn, then five metres and a rail: 1 m kept, 6 ft to land, 0.87 of a stride."""
    fences = fence("birch", "ground pole", 30, 10), fence("elm", "vertical", 54, 20)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: elm", FINISH))
    said = "one stride straight ahead of elm before the rail; 3 are wanted"
    assert_told("landing-into-a-corner", text, ("stop", said))


def test_all_turns_to_one_hand_are_told_of_at_the_last() -> None:
    """One on the way in, and three that are said."""
    fences = fence("birch", "vertical", 30, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch", "turn: left", "jump: elm", "turn: left", "jump: birch",
            "turn: left", "jump: elm", FINISH)  # fmt: skip
    text = written(fences, ride)
    plan = planned(text)
    [found] = of_rule(plan, "one-rein-only")
    last = [leg for leg in plan.legs if leg.shape == "turn"][-1]
    assert found.message == "all 4 turns go left"
    assert dict(found.facts)["at_m"] == pytest.approx(
        last.curve.pose_at(last.track_m / 2).point, abs=0.001
    )


def test_a_lead_on_a_way_in_that_is_left_to_the_rider_is_a_note() -> None:
    """From the gate in the right side round to a fence across the ring: to the left."""
    text = written(
        (fence("birch", "vertical", 8, 8, 90),),
        ("start: canter, right lead, from the gate", "jump: birch", FINISH),
        arena="{size: 60 x 30 m, gate: {side: right}}",
    )
    assert_told("lead-against-the-turn", text, ("note", "the turn goes left on the right lead"))


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
    assert_told("trotted-into-at-canter-length", text, *_wanted(severity, said))


def _to_a_triple_bar(x: float) -> str:
    """Round to the left to a triple bar in an arena 30 m wide."""
    fences = (fence("birch", "vertical", 20, 8),
              fence("elm", "triple bar, spread: 3'", x, 24, 180))  # fmt: skip
    ride = (START, "jump: birch, land left", "turn: left", "jump: elm", FINISH)
    return written(fences, ride, arena="30 x 80 m")


def test_a_triple_bar_out_of_a_turn() -> None:
    """Two strides in the one, and where it stands near the turn no turn of its radius is left."""
    said = "elm, a triple bar, stands two strides after a turn of 26'3\" radius; 3 are wanted"
    assert_told("hard-fence-out-of-a-turn", _to_a_triple_bar(30), ("caution", said))


@pytest.mark.parametrize(
    ("text", "severities"),
    [
        # on a circle up to 0.70 m [S11] bends are notes; a stride before a wide fence is its own
        ("0.70 m", ["note", "note"]),
        ("0.71 m", ["caution", "caution"]),
    ],
)
def test_little_straight_in_a_bend(text: str, severities: list[str]) -> None:
    hazel = "hazel: {kind: vertical, placed: '60 ft beyond birch, turned left 90°'}"
    ride = (START, "jump: birch", "bend: left, 60 ft", "jump: hazel", FINISH)
    made = _of_level(written((fence("birch", "vertical", 20, 8), hazel), ride), text)
    found = told("too-little-straight", made)
    assert [severity for severity, _ in found] == severities
    assert [said.split(";")[0] for _, said in found] == [
        "half a stride straight after birch", "half a stride straight before hazel",
    ]  # fmt: skip
    assert "1 is wanted" in found[0][1]
    one, other = of_rule(planned(made), "too-little-straight")
    # An even bend is as straight before hazel as after birch.
    ends = dict(one.facts)["at_m"], dict(other.facts)["at_m"]
    stands = [(20, 8), planned(made).fence("hazel").pose.point]
    after, before = (math.dist(a, b) for a, b in zip(ends, stands, strict=True))
    assert after == pytest.approx(before, abs=0.002)
    assert after > 1


@pytest.mark.parametrize(("horses", "grave"), [("12' stride", "note"), (GREEN, "caution")])
def test_little_straight_after_a_fence(horses: str, grave: str) -> None:
    fences = fence("birch", "vertical", 44, 8), fence("elm", "vertical", 30, 22, 180)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: elm", FINISH), horses=horses)
    found = told("too-little-straight", text)
    assert {severity for severity, _ in found} == {grave}
    assert any("straight after birch; 2 are wanted" in said for _, said in found)


@pytest.mark.parametrize(
    ("across", "severity", "said"),
    [
        # 15 m for trained horses [S39], and 10 m as the floor
        (15.1, "", ""),
        (14.8, "caution", "a circle of 48'7\" in canter; trained horses want 49'3\""),
        (9.8, "stop", "a circle of 32'2\" in canter"),
    ],
)
def test_a_circle_that_is_too_small(across: float, severity: str, said: str) -> None:
    fences = fence("birch", "vertical", 24, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch", "turn: left", f"circle: left {across} m", "jump: elm", FINISH)
    assert_told("turn-too-tight", written(fences, ride), *_wanted(severity, said))


def test_what_is_advised_of_a_turn_that_no_hand_can_ride() -> None:
    fences = fence("birch", "vertical", 50, 8), fence("elm", "vertical", 30, 22, 180)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: elm", FINISH))
    said = "it cannot be ridden to either hand from there: move or turn one of the fences"
    assert_told("turn-too-tight", text, ("stop", said))


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
