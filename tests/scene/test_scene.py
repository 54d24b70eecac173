"""The list of marks: what it says of itself, where it lies, and how it moves."""

from __future__ import annotations

import math
import textwrap

import pytest
from msgspec import structs
from scene_dump import dump

from diagram.scene import (
    EMPTY,
    Box,
    Disc,
    Fill,
    Group,
    Item,
    Scene,
    Stroke,
    Text,
    box_around,
    number,
)
from diagram.style import Pen
from diagram.typeface import text_rise, text_width

THIN = Pen("#000000", 0.25)
DASHED = Pen("#0072b2", 0.7, (4.5, 1.5), "round")

SCENE = Scene(
    180,
    120.5,
    (
        Group(
            "arena",
            (
                Stroke(((0, 0), (170, 0), (170, 100)), THIN, closed=True, sized="ground"),
                Group("letters", (Text((85, -2.0004), "A", 3.175, "bold", "middle"),)),
            ),
            "The arena, 20 m x 40 m",
        ),
        Fill(((1, 1), (2, 1), (2, 2.00049)), "#d9d9d9"),
        Fill(((1, 1), (2, 1), (2, 2)), "#d9d9d9", THIN, "ground"),
        Stroke(((0.1 + 0.2, -0.0001), (1 / 3, 7)), DASHED),
        Disc((10, 10), 1.25, None, THIN),
        Disc((10, 10), 1.25),
        Text((5, 6), "5 strides\u202e", 2.8222, angle=-30, colour="#595959", sized="ground"),
    ),
    title="The long wait",
    description="Four fences.",
    language="en",
    scale_denominator=200,
)


def test_the_dump_lists_every_mark_with_its_measures() -> None:
    assert dump(SCENE) == textwrap.dedent("""\
        scene 180 x 120.5 1:200 'en'
        title 'The long wait'
        description 'Four fences.'
        group 'arena' 'The arena, 20 m x 40 m'
          stroke ground pen #000000 0.25 butt closed: 0,0 170,0 170,100
          group 'letters'
            text paper 3.175 bold middle #000000: 85,-2 'A'
        fill paper #d9d9d9 no pen: 1,1 2,1 2,2
        fill ground #d9d9d9 pen #000000 0.25 butt: 1,1 2,1 2,2
        stroke paper pen #0072b2 0.7 dash 4.5 1.5 round: 0.3,0 0.333,7
        disc paper None pen #000000 0.25 butt: 10,10 r 1.25
        disc paper #000000 no pen: 10,10 r 1.25
        text ground 2.822 regular start turned -30 #595959: 5,6 '5 strides\\u202e'
        """)


def test_a_drawing_without_scale_says_so() -> None:
    assert dump(Scene(10, 10, ())).splitlines()[0] == "scene 10 x 10 not to scale 'en'"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.1 + 0.2, "0.3"),
        (-0.0004, "0"),
        (-0.0, "0"),
        (100.0, "100"),
        (1e-9, "0"),
        (2.0006, "2.001"),
        (-12.3456, "-12.346"),
        (1234567.0, "1234567"),
    ],
)
def test_numbers_are_short_and_plain(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_none_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not a place or size"):
        number(value)


@pytest.mark.parametrize(
    ("item", "box"),
    [
        (Stroke(((1, 2), (5, 4)), Pen("#000000", 1)), Box(0.5, 1.5, 5.5, 4.5)),
        (Fill(((1, 2), (5, 4), (1, 4)), "#000000"), Box(1, 2, 5, 4)),
        (Fill(((1, 2), (5, 4), (1, 4)), "#000000", Pen("#000000", 2)), Box(0, 1, 6, 5)),
        (Disc((5, 5), 2), Box(3, 3, 7, 7)),
        (Disc((5, 5), 2, None, Pen("#000000", 1)), Box(2.5, 2.5, 7.5, 7.5)),
        (Group("two", (Disc((5, 5), 2), Disc((10, 5), 1))), Box(3, 3, 11, 7)),
        (Group("none", ()), EMPTY),
        (Stroke((), Pen("#000000", 1)), EMPTY),
    ],
)
def test_the_box_of_each_mark(item: Item, box: Box) -> None:
    assert item.bbox() == box


# Widths are sums of up to ten numbers around 1, each good to 1e-16.
EXACT = 1e-12


@pytest.mark.parametrize(("anchor", "share"), [("start", 0), ("middle", -0.5), ("end", -1)])
def test_the_box_of_a_text_hangs_on_its_anchor(anchor: str, share: float) -> None:
    box = Text((20, 30), "Hazel 12′", 3, anchor=anchor).bbox()  # type: ignore[arg-type]
    width = text_width("Hazel 12′", 3)
    low, high = text_rise("Hazel 12′", 3)
    assert box.left == pytest.approx(20 + share * width, abs=EXACT)
    assert box.width == pytest.approx(width, abs=EXACT)
    assert (box.top, box.bottom) == pytest.approx((30 - high, 30 - low), abs=EXACT)


def test_a_text_turned_by_90_degrees_reads_upwards() -> None:
    box = Text((20, 30), "Hazel", 3, angle=90).bbox()
    low, high = text_rise("Hazel", 3)
    assert (box.left, box.right) == pytest.approx((20 - high, 20 - low), abs=EXACT)
    assert (box.top, box.bottom) == pytest.approx((30 - text_width("Hazel", 3), 30), abs=EXACT)


def test_moving_a_scene_moves_every_mark_and_nothing_else() -> None:
    shifted = SCENE.moved(3, -4)
    assert [type(item) for item in shifted.walk()] == [type(item) for item in SCENE.walk()]
    for before, after in zip(SCENE.walk(), shifted.walk(), strict=True):
        old, new = before.bbox(), after.bbox()
        assert (new.left, new.top) == pytest.approx((old.left + 3, old.top - 4), abs=EXACT)
        assert (new.width, new.height) == pytest.approx((old.width, old.height), abs=EXACT)
    assert (shifted.width, shifted.height, shifted.title) == (180, 120.5, "The long wait")


def test_walking_meets_groups_before_their_children() -> None:
    names = [type(item).__name__ for item in SCENE.walk()]
    assert names[:4] == ["Group", "Stroke", "Group", "Text"]
    assert len(names) == 10


def test_the_box_of_a_scene_may_reach_beyond_its_edges() -> None:
    assert SCENE.bbox().top < 0
    assert Scene(10, 10, ()).bbox() == EMPTY
    assert (EMPTY.width, EMPTY.height) == (0, 0)


def test_boxes_overlap_only_with_an_area_in_common() -> None:
    assert Box(0, 0, 2, 2).overlaps(Box(1, 1, 3, 3))
    assert not Box(0, 0, 2, 2).overlaps(Box(2, 0, 4, 2))
    assert not EMPTY.overlaps(Box(0, 0, 9, 9))
    assert Box(0, 0, 2, 2).grown(1) == Box(-1, -1, 3, 3)
    assert box_around([(1, 5), (3, 2)]) == Box(1, 2, 3, 5)


def test_marks_are_values() -> None:
    assert hash(SCENE) == hash(structs.replace(SCENE))
    with pytest.raises(AttributeError):
        SCENE.width = 1  # type: ignore[misc]
