"""A circle said with its size and its count: built by the size, judged by the count.

Four strides in each quarter of a circle of 20 m (trainer of a feed maker, four fences on a circle,
2018) and five on one of 22 m (French cavaletti exercise on a circle, 2021) are published.
"""

from __future__ import annotations

import math

import pytest

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
