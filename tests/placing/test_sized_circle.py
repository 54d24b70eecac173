"""A circle said with its size and its count: built by the size, judged by the count.

Four strides in each quarter of a circle of 20 m (trainer of a feed maker, four fences on a circle,
2018) and five on one of 22 m (French cavaletti exercise on a circle, 2021) are published.
"""

from __future__ import annotations

import math

import pytest

from diagram.changing import proven_changes
from diagram.pipeline import plan_text


@pytest.mark.parametrize(
    ("diameter", "strides", "worst"),
    [(20, 4, "note"), (22, 5, "note"), (18, 4, "note"), (22, 4, "stop")],
)
def test_the_size_is_built_and_the_count_is_judged(diameter: int, strides: int, worst: str) -> None:
    names = ("ash", "birch", "cedar", "elm")
    fences = "".join(f"  {name}: {{kind: cavaletti}}\n" for name in names)
    bend = f"  - bend: left, round, {strides} strides\n"
    ride = bend.join(f"  - jump: {name}\n" for name in (*names, "ash"))
    plan = plan_text(
        "tapeline: 1\ntitle: Circle\npurpose: P\nlevel: 1'6\"\narena: 30 x 60 m\n"
        f"horses: schooled horse\nfences:\n{fences}"
        f'arrange: ["ash, birch, cedar, elm on a circle {diameter} m"]\n'
        f"ride:\n  - start: canter, left lead\n{ride}  - finish: straight on, walk\n"
    )
    quarters = [leg.track_m for leg in plan.legs if leg.shape == "bend"]
    # A quarter of the circle through the middles, less half a cavaletti at both ends at most.
    assert quarters == pytest.approx([math.pi * diameter / 4] * 4, abs=0.1)
    off = [f for f in plan.findings if f.rule == "distance-off"]
    assert {str(f.severity) for f in off} <= {"note", worst}
    assert (worst in {str(f.severity) for f in off}) or worst == "note"


def _circle(bend: str, arrange: str = "", arena: str = "30 x 60 m") -> str:
    names = ("ash", "birch", "cedar", "elm")
    fences = "".join(f"  {name}: ground pole\n" for name in names)
    ride = f"  - bend: left, {bend}\n".join(f"  - jump: {name}\n" for name in (*names, "ash"))
    return (
        f"tapeline: 1\ntitle: Circle\npurpose: P\narena: {arena}\n{arrange}fences:\n{fences}"
        f"ride:\n  - start: canter, left lead\n{ride}  - finish: straight on, walk\n"
    )


@pytest.mark.parametrize("strides", [3, 4])
def test_a_size_said_of_each_bend_is_the_size_of_the_circle(strides: int) -> None:
    plan = plan_text(_circle(f"{strides} strides, round on an 18 m circle"))
    other = plan_text(
        _circle(f"round, {strides} strides", "arrange: ash, birch, cedar, elm on a circle 18 m\n")
    )
    # A solver that starts from other guesses ends within a hundredth of a millimetre.
    for name, pose in plan.layout.poses.items():
        assert pose.distance(other.layout.poses[name].point) < 1e-4
    quarters = [leg.track_m for leg in plan.legs if leg.shape == "bend"]
    # A quarter of an 18 m circle is 14.137 m.
    assert quarters == pytest.approx([math.pi * 18 / 4] * 4, abs=0.02)
    stops = [f.severity for f in plan.findings if f.rule == "distance-off"]
    assert len(stops) == 4
    assert all((str(severity) == "stop") == (strides == 3) for severity in stops)


def test_a_round_bend_with_its_angle_and_size_is_built_and_its_count_judged() -> None:
    plan = plan_text(
        "tapeline: 1\ntitle: T\npurpose: P\nlevel: 2'\narena: 30 x 60 m\n"
        "fences:\n  ash: vertical\n  elm: vertical\nride:\n  - start: canter, left lead\n"
        "  - jump: ash\n  - bend: left 90\u00b0, 3 strides, round on an 18 m circle\n"
        "  - jump: elm\n"
        "  - finish: walk\n"
    )
    assert [leg.track_m for leg in plan.legs if leg.shape == "bend"] == pytest.approx(
        [math.pi * 18 / 4], abs=0.02
    )
    assert any(f.rule == "distance-off" for f in plan.findings)


@pytest.mark.long
def test_another_size_of_circle_is_among_the_changes_that_help() -> None:

    plan = plan_text(_circle("round on an 18 m circle", arena="20 x 60 m"))
    assert plan.layout.shortages
    assert "a circle of 15 m" in [proven.words for proven in proven_changes(plan, enough=1)]


def test_a_closing_circle_that_has_no_room_is_left_out_first() -> None:
    """Three fences and a change of rein go into 20 x 50 m; a circle of 15 m after them does not."""
    made = plan_text(CLOSED)
    assert made.layout.outcome == "does not fit this arena"
    (proven,) = proven_changes(made, enough=1)
    assert proven.words == "straight on at the end, without a circle"
    assert "finish: straight on, walk" in proven.text


CLOSED = """\
tapeline: 1
title: Change of rein
purpose: One rein, then the other.
level: 2'3"
arena: 20 x 50 m
fences: {oak: vertical, elm: vertical, ash: oxer}
ride:
  - start: canter, right lead
  - jump: oak
  - turn: right
  - jump: elm
  - turn: left
  - jump: ash
  - finish: circle left, walk
"""
