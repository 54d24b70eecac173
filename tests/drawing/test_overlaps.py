"""Nothing that is written lies on anything else: shipped exercises, and many made-up ones.

The referee is shapely, on the marks of the finished scene. In the usual run SOME made-up
exercises are drawn; ``TAPELINE_MANY=500 python -m pytest tests/drawing`` draws 500.
"""

from __future__ import annotations

import os
from itertools import product
from pathlib import Path

import pytest
from ink import overlaps
from made_exercises import made_plans
from made_once import planned
from samples import NAMES, SAMPLES, each

from diagram.drawing import SHEETS, draw_side_one
from diagram.drawing.sheet import Drawn
from diagram.pipeline import drawing_of
from diagram.scene import Group, Stroke, Text, walk
from diagram.units import Units

ROOT = Path(__file__).parents[2]
SOME = 12
MANY = int(os.environ.get("TAPELINE_MANY", SOME))
EACH = 10
UNITS: tuple[Units, ...] = ("feet", "metres", "both")
NEVER_MISSING = ("number", "count")
CROWDED = "clover-of-five"
"""Nine jumps, five of them over one fence: what it has no room for is said at its foot."""


@pytest.mark.parametrize(
    ("stem", "paper", "units"),
    [
        *each(1, product(NAMES, ("A4",), UNITS)),
        *each(2, product(NAMES, ("Letter",), UNITS)),
        # On larger paper there is more room.
        *each(4, product(NAMES, ("A3", "Tabloid"), UNITS)),
    ],
)
def test_shipped_exercises(stem: str, paper: str, units: Units) -> None:
    drawn = drawing_of(planned(stem), paper, units)
    assert overlaps(drawn.scene) == []
    missing = [label.name for label in drawn.unplaced]
    assert [name for name in missing if name.startswith(NEVER_MISSING)] == []
    assert stem == CROWDED or missing == []


@pytest.mark.parametrize("first", range(0, MANY, EACH))
def test_made_up_exercises(first: int) -> None:
    """Each either placed free or told of; no jump is ever without its number."""
    wrong = {}
    for seed, made in made_plans(min(EACH, MANY - first), first * 3):
        # Each on another paper and in other units than its neighbours.
        drawn = draw_side_one(made, SHEETS[list(SHEETS)[seed % 4]], UNITS[seed % 3])
        found = overlaps(drawn.scene)
        if found:
            wrong[seed] = found
        _all_are_told(drawn)
        numberless = [one.name for one in drawn.unplaced if one.name.startswith("number")]
        if numberless:
            wrong[seed] = numberless
    assert wrong == {}


def _all_are_told(drawn: Drawn) -> None:
    """What found no place is said at the foot of the sheet, and is a finding."""
    foot = next(g for g in drawn.scene.items if isinstance(g, Group) and g.name == "foot")
    below = " ".join(mark.text for mark in walk(foot.children) if isinstance(mark, Text))
    if drawn.unplaced:
        assert "Left out:" in below
    for label in drawn.unplaced:
        assert any(label.says in finding.message for finding in drawn.findings)


def test_the_referee_can_fail() -> None:
    """A word set on the track is found out."""
    drawn = drawing_of(planned(SAMPLES[0].stem))
    track = next(g for g in drawn.scene.items if isinstance(g, Group) and g.name == "track")
    line = next(mark for mark in walk(track.children) if isinstance(mark, Stroke))
    x, y = line.points[len(line.points) // 2]
    word = Group("label-wrong", (Text((x, y), "word", 3.0, anchor="middle"),))
    labels = Group("labels", (word,))
    spoilt = drawn.scene.__class__(
        drawn.scene.width, drawn.scene.height, (*drawn.scene.items, labels)
    )
    assert any(found.startswith("label-wrong on track") for found in overlaps(spoilt))
