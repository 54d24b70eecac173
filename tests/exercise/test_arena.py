"""Arenas: frame, letters, gate, named sides, polygons."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from diagram.diagnostics import RejectedError
from diagram.exercise.arena import SMALLEST, resolve_arena
from diagram.model.definition import ArenaWritten
from diagram.pipeline import plan_text
from diagram.source import read_text

EXERCISE = """\
tapeline: 1
title: T
purpose: P
level: 2'6"
arena: {arena}
fences:
  birch: {{kind: vertical, at: {at}, facing: {facing}}}
ride:
  - jump: birch
    purpose: one fence
"""


def _plan(arena: str, at: str = "[20 m, 10 m]", facing: str = "0°"):
    return plan_text(EXERCISE.format(arena=arena, at=at, facing=facing))


def test_dressage_letters_in_our_frame() -> None:
    """Letters 6 m from the corners, then every 12 m; F and A at the origin's end.

    Published web articles [S55], [S56]: pages on the dressage arena and its letters.
    """
    arena = _plan("20 x 60 m").arena
    assert arena.letters["F"] == (6.0, 0.0)
    assert arena.letters["K"] == (6.0, 20.0)
    assert arena.letters["B"] == (30.0, 0.0)
    assert arena.letters["E"] == (30.0, 20.0)
    assert arena.letters["C"] == (60.0, 10.0)
    assert arena.gate is not None
    assert arena.gate.middle == (0.0, 10.0)


def test_facing_a_letter() -> None:
    placed = _plan("20 x 60 m", "B", "E").fence("birch")
    assert placed.pose.point == (30.0, 0.0)
    assert placed.pose.heading == pytest.approx(math.pi / 2)


@pytest.mark.parametrize(
    ("side", "degrees"), [("right", 0), ("top", 90), ("left", 180), ("bottom", 270)]
)
def test_facing_a_side(side: str, degrees: float) -> None:
    heading = _plan("30 x 60 m", facing=side).fence("birch").pose.heading
    assert math.degrees(heading) % 360 == pytest.approx(degrees)


def test_sides_may_be_renamed_and_hold_the_gate() -> None:
    arena = _plan(
        "{size: 60 x 30 m, sides: {left: barn end}, gate: {side: barn end, at: 8 m, width: 4 m}}",
        facing="barn end",
    ).arena
    assert arena.gate is not None
    assert arena.gate.middle == pytest.approx((0.0, 8.0))
    assert "left" not in arena.sides


def test_a_polygon_goes_round_either_way() -> None:
    corners = "[[0 m, 0 m], [50 m, 0 m], [50 m, 30 m], [20 m, 30 m], [0 m, 18 m]]"
    backwards = "[[0 m, 18 m], [20 m, 30 m], [50 m, 30 m], [50 m, 0 m], [0 m, 0 m]]"
    one, other = (_plan(f"{{corners: {c}}}").arena for c in (corners, backwards))
    assert set(one.region.corners) == set(other.region.corners)
    assert one.region.depth((20.0, 10.0)) > 0


def test_feet_and_metres_give_the_same_ring() -> None:
    length, width = _plan("100 x 200 ft").arena.size
    assert (length, width) == pytest.approx((60.96, 30.48))


def test_outside_is_refused() -> None:
    with pytest.raises(RejectedError, match="outside the arena"):
        _plan("30 x 60 m", "[70 m, 10 m]")


@given(
    st.lists(
        st.tuples(st.integers(0, 8), st.integers(0, 8)).map(lambda p: (p[0] * 10.0, p[1] * 10.0)),
        min_size=3,
        max_size=7,
    )
)
def test_corners_that_make_no_arena_are_those_that_shapely_refuses(
    corners: list[tuple[float, float]],
) -> None:
    """Most are let through without it: none of those may be one that it refuses."""
    said = ", ".join(f"[{x:g} m, {y:g} m]" for x, y in corners)
    document = read_text(f"arena: {{corners: [{said}]}}\n")
    written = ArenaWritten.model_validate(document.plain()["arena"])
    shape = Polygon(corners)
    try:
        region = resolve_arena(written, document).region
    except RejectedError:
        sides = map(math.dist, corners, corners[1:] + corners[:1])
        assert not shape.is_valid or shape.area < SMALLEST**2 or min(sides) < SMALLEST
    else:
        assert shape.is_valid
        assert Polygon(region.corners).equals(shape)
