"""Nothing that is written lies on anything else: shipped exercises, and many made-up ones.

The referee is shapely, on the marks of the finished scene. In the usual run SOME made-up
exercises are drawn; ``TAPELINE_MANY=500 python -m pytest tests/drawing`` draws 500.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from ink import overlaps
from made_exercises import made_plans

from diagram.drawing import draw_plan
from diagram.drawing.sheet import Drawn
from diagram.pipeline import drawing_of, plan
from diagram.scene import Group, Stroke, Text, walk
from diagram.style import DIMENSION

ROOT = Path(__file__).parents[2]
EXERCISES = sorted(p for p in (ROOT / "exercises").glob("*.yaml") if p.name != "arenas.yaml")
SOME = 40
MANY = int(os.environ.get("TAPELINE_MANY", SOME))
EACH = 10


@pytest.mark.parametrize("units", ["feet", "metres"])
@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
@pytest.mark.parametrize("file", EXERCISES, ids=lambda p: p.stem)
def test_shipped_exercises(file: Path, paper: str, units: str) -> None:
    drawn = drawing_of(plan(file), paper, units)
    assert overlaps(drawn.scene) == []
    assert drawn.unplaced == ()
    assert drawn.findings == ()


@pytest.mark.parametrize("first", range(0, MANY, EACH))
def test_made_up_exercises(first: int) -> None:
    """Each either placed free or listed under the drawing: nothing is dropped."""
    wrong = {}
    for seed, made in made_plans(min(EACH, MANY - first), first * 3):
        drawn = draw_plan(made, 277, 180)
        found = overlaps(drawn.scene)
        if found:
            wrong[seed] = found
        _all_are_told(drawn)
    assert wrong == {}


def test_straight_lines_carry_dimension_lines() -> None:
    """All four in the grid, and the line of five: a thin line left and right of each figure."""
    for name, legs in (("grid-from-trot-on-the-centre-line", 4),
                       ("straight-out-and-home-on-an-angle", 1)):  # fmt: skip
        drawn = drawing_of(plan(ROOT / "exercises" / f"{name}.yaml"))
        with_lines = [
            label for label in drawn.labels
            if any(isinstance(mark, Stroke) and mark.pen == DIMENSION
                   for mark in walk(label.marks.children))
        ]  # fmt: skip
        assert len(with_lines) == legs


def _all_are_told(drawn: Drawn) -> None:
    """What found no place is printed under the drawing, and is a finding."""
    below = " ".join(
        mark.text
        for group in drawn.scene.items
        if isinstance(group, Group) and group.name == "leftovers"
        for mark in walk(group.children)
        if isinstance(mark, Text)
    )
    for label in drawn.unplaced:
        assert label.says in below
        assert any(label.says in finding.message for finding in drawn.findings)


def test_the_referee_can_fail() -> None:
    """A word set on the track is found out."""
    drawn = drawing_of(plan(EXERCISES[0]))
    track = next(g for g in drawn.scene.items if isinstance(g, Group) and g.name == "track")
    line = next(mark for mark in walk(track.children) if isinstance(mark, Stroke))
    x, y = line.points[len(line.points) // 2]
    word = Group("label-wrong", (Text((x, y), "word", 3.0, anchor="middle"),))
    labels = Group("labels", (word,))
    spoilt = drawn.scene.__class__(
        drawn.scene.width, drawn.scene.height, (*drawn.scene.items, labels)
    )
    assert any(found.startswith("label-wrong on track") for found in overlaps(spoilt))
