"""Turns at the limits of what is told of them: fences seen ahead, leads, corners, circles.

Strides of canter are 12 ft, with 6 ft to land and 6 ft to take off. Limits are common practice
where no source is named.
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
    told,
    wanted,
    written,
)

SCHOOLED = "{size: horse, experience: schooled, stride: 12'}"
STRIDE = 12 * FOOT


def _strides(count: float) -> float:
    """Metres between two fences with so many strides to ride."""
    return count * STRIDE + 12 * FOOT


def _ahead(metres: float, *, y: float = 8, facing: float = 0, horses: str = "12' stride") -> str:
    """Elm ahead of birch, and a turn away to oak."""
    fences = (BIRCH, fence("elm", "vertical", 20 + metres, y, facing),
              fence("oak", "vertical", 30, 22, 180))  # fmt: skip
    ride = (START, "jump: birch, land left", "turn: left", "jump: oak", FINISH)
    return written(fences, ride, horses=horses)


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
    assert_told("line-seen-ahead", text, *wanted(severity, said))


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
    assert_told("line-seen-ahead", of_level(text, height), (grave, said))


@pytest.mark.parametrize("jumped", ["grid a", "grid"])
def test_elements_of_one_combination_are_not_seen_ahead_of_each_other(jumped: str) -> None:
    """Neither the one that is left out nor the one that is jumped."""
    whole = (
        "grid: {kind: combination, at: [20 m, 8 m], facing: 0°, "
        "elements: [{kind: vertical}, {kind: vertical, after: 1 stride}]}"
    )
    ride = (START, f"jump: {jumped}", "turn: left", "jump: oak", FINISH)
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
    text = of_level(written(fences, ride), height)
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
    assert_told("related-and-not-said", _line_or_turn(way), *wanted("note" * bool(said), said))


@pytest.mark.parametrize(
    ("x", "said"),
    # Up to seven strides of 96 ft fences are related [R50].
    [(44, "to hazel is a line of 7, and not said to be one"), (48, "")],
)
def test_a_turn_that_is_a_long_line(x: float, said: str) -> None:
    fences = fence("birch", "vertical", 15, 15), fence("hazel", "vertical", x, 18.5, 20)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: hazel", FINISH))
    assert_told("related-and-not-said", text, *wanted("note" * bool(said), said))


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
    assert_told("lead-against-the-turn", text, *wanted("caution" * bool(said), said))
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
        assert "the turn opens out to the right on the left lead" in said


@pytest.mark.parametrize(
    ("y", "facing", "said"),
    # two centimetres aside are in line, with a circle on the way; three are not, nor is a turn
    [(8.01, 0, ""), (8.03, 0, 'stands 1" to the left'), (8.0, 3, "is turned 3.0° from the line")],
)
def test_a_circle_on_a_straight_line(y: float, facing: float, said: str) -> None:
    fences = BIRCH, fence("elm", "vertical", 44, y, facing)
    ride = (START, "jump: birch", "circle: left 15 m", "line: 20 m", "jump: elm", FINISH)
    text = written(fences, ride)
    assert_told("line-not-straight", text, *wanted("caution" * bool(said), said))


def test_a_pole_hides_no_fence_near_the_rail() -> None:
    """A pole and a turn, then five metres and a rail: 1 m kept, 6 ft to land, 0.87 of a stride."""
    fences = fence("birch", "ground pole", 30, 10), fence("elm", "vertical", 54, 20)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: elm", FINISH))
    said = "one stride straight ahead of elm before the rail; 3 are wanted"
    assert_told("landing-into-a-corner", text, ("stop", said))


def test_all_turns_to_one_hand_are_told_of_at_the_last() -> None:
    """One on the way in, and two that are said."""
    fences = fence("birch", "vertical", 30, 8), fence("elm", "vertical", 30, 22, 180)
    ride = (START, "jump: birch", "turn: left", "jump: elm", "turn: left", "jump: birch", FINISH)
    text = written(fences, ride)
    plan = planned(text)
    [found] = of_rule(plan, "one-rein-only")
    last = [leg for leg in plan.legs if leg.shape == "turn"][-1]
    assert found.message == "all 3 turns go left"
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
    made = of_level(written((fence("birch", "vertical", 20, 8), hazel), ride), text)
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
    assert_told("turn-too-tight", written(fences, ride), *wanted(severity, said))


def test_what_is_advised_of_a_turn_that_no_hand_can_ride() -> None:
    fences = fence("birch", "vertical", 50, 8), fence("elm", "vertical", 30, 22, 180)
    text = written(fences, (START, "jump: birch", "turn: left", "jump: elm", FINISH))
    said = "it cannot be ridden to either hand from there: move or turn one of the fences"
    assert_told("turn-too-tight", text, ("stop", said))
