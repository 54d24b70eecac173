"""Names of the points that tapes are held to, and where they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram.exercise.arena import from_size
from diagram.pipeline import plan
from diagram.stakeout.points import as_first_jumped, feet, fence_feet, fixed_points

EXERCISES = Path(__file__).parents[2] / "exercises"


def test_corners_are_named_by_their_sides_the_shorter_first() -> None:
    assert fixed_points(from_size(60, 30)) == {
        "corner right / bottom": (60.0, 0.0),
        "corner right / top": (60.0, 30.0),
        "corner left / top": (0.0, 30.0),
        "corner left / bottom": (0.0, 0.0),
    }


def test_gate_posts_letters_and_posts() -> None:
    field = fixed_points(plan(EXERCISES / "forward-wait-and-a-double.yaml").arena)
    assert field["gate post hedge side"] == (0.0, 16.0)
    assert field["gate post lane corner"] == (0.0, 20.0)
    assert field["old post"] == (66.5, 25.0)
    school = fixed_points(plan(EXERCISES / "grid-from-trot-on-the-centre-line.yaml").arena)
    assert school["letter E"] == (30.0, 20.0)
    # D, L, X, I and G lie on the centre line, where nothing marks them.
    assert not {f"letter {name}" for name in "DLXIG"} & set(school)


def test_rows_of_a_spread_and_ends_of_a_pole() -> None:
    grid = plan(EXERCISES / "grid-from-trot-on-the-centre-line.yaml")
    names = list(feet(grid))
    assert names[:2] == ["grid pole left", "grid pole right"]
    assert names[-4:] == [
        "grid d left front", "grid d right front", "grid d left back", "grid d right back",
    ]  # fmt: skip


def test_left_is_left_of_the_horse_when_it_first_jumps(tmp_path: Path) -> None:
    text = (
        "tapeline: 1\ntitle: T\npurpose: P.\nlevel: 3'\narena: 30 x 60 m\nhorses: horse\n"
        "fences:\n  f: {kind: oxer, ground line: both sides, at: [30 m, 15 m], facing: 0°}\n"
        "ride:\n  - start: canter\n  - jump: f from behind\n  - turn: left\n  - jump: f\n"
        "  - finish: straight on, walk\n"
    )
    file = tmp_path / "t.yaml"
    file.write_text(text, encoding="utf-8")
    made = plan(file)
    placed = made.fences[0]
    assert as_first_jumped(made, placed).direction[0] == pytest.approx(-1.0)
    places = feet(made)
    # Ridden towards smaller x: left is smaller y, and the front row has the greater x.
    assert places["f left front"][1] < 15 < places["f right front"][1]
    assert places["f left front"][0] > 30 > places["f left back"][0]
    assert [foot.row for foot in fence_feet(made)] == ["front", "front", "back", "back"]
