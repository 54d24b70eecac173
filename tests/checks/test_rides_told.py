"""Rides that go at once, and where they are told to meet."""

from __future__ import annotations

import math

import pytest
from check_trials import assert_told, fence, of_level, of_rule, planned, written


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
    text, _, _ = of_level(written(tuple(fences), (), arena="80 x 60 m"), "2'").partition("ride:\n")
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


@pytest.mark.parametrize(("y", "meet"), [(52, True), (57, False), (3, False)])
def test_the_other_keeps_clear_on_its_way_in_and_out(y: float, meet: bool) -> None:
    """Its last fence is at 41 m: 12 m on it is at 53, and nobody else's ground at 57. Its first is
    at 19, to which it comes along the rail at 2 m."""
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
