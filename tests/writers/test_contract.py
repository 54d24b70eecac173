"""What every writer of drawings must do, whichever kind of file it writes."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import get_args

import pytest
from every_mark import EVERY_MARK, PIXELS_PER_MM, PROBES
from msgspec import structs
from PIL import Image

from diagram import scene
from diagram.scene import Disc, Fill, Item, Scene, Stroke, Text
from diagram.style import Pen
from diagram.writers import pdf, png, scene_writers

PEN = Pen("#000000", 1)


@pytest.fixture(scope="module", params=sorted(scene_writers()))
def write(request: pytest.FixtureRequest) -> Callable[[Scene], bytes]:
    return scene_writers()[request.param]


def test_writers_are_found_by_their_files() -> None:
    assert list(scene_writers()) == ["dxf", "pdf", "png", "svg"]


def test_the_sample_has_every_kind_of_mark() -> None:
    assert {type(item) for item in EVERY_MARK.walk()} == set(get_args(scene.Item))
    assert len(get_args(scene.Item)) <= 7


@pytest.mark.parametrize("index", range(len(EVERY_MARK.items)))
def test_each_mark_leaves_its_trace(write: Callable[[Scene], bytes], index: int) -> None:
    rest = EVERY_MARK.items[:index] + EVERY_MARK.items[index + 1 :]
    assert write(EVERY_MARK) != write(structs.replace(EVERY_MARK, items=rest))


@pytest.mark.parametrize("probe", PROBES)
def test_marks_show_where_they_should(probe: str, raster: Callable[[bytes], Image.Image]) -> None:
    x, y, colour = PROBES[probe]
    expected = tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))
    pictures = {
        "pdf": raster(pdf.scene_bytes(EVERY_MARK)),
        "png": Image.open(io.BytesIO(png.scene_bytes(EVERY_MARK))).convert("RGB"),
    }
    for kind, picture in pictures.items():
        seen = picture.getpixel((round(x * PIXELS_PER_MM), round(y * PIXELS_PER_MM)))
        # PDF gives colours as decimal fractions, rounded once by us and once by the painter.
        assert max(abs(a - b) for a, b in zip(seen, expected, strict=True)) <= 2, kind


@pytest.mark.parametrize(
    "item",
    [
        Stroke(((0, 0), (math.nan, 1)), PEN),
        Stroke(((0, 0), (1, 1)), Pen("#000000", math.inf)),
        Fill(((0, 0), (0, -math.inf), (1, 1)), "#000000"),
        Disc((1, math.nan), 1),
        Disc((1, 1), math.inf),
        Text((math.nan, 1), "lost", 3),
        Text((1, 1), "endless", math.inf),
    ],
)
def test_a_mark_without_a_place_is_refused(write: Callable[[Scene], bytes], item: Item) -> None:
    with pytest.raises(ValueError, match="not a place or size"):
        write(Scene(10, 10, (item,)))


@pytest.mark.parametrize(
    "item", [Stroke((), PEN), Fill((), "#000000"), Text((1, 1), "", 3), Stroke(((1, 1),), PEN)]
)
def test_a_mark_without_extent_does_no_harm(write: Callable[[Scene], bytes], item: Item) -> None:
    assert write(Scene(10, 10, (item,)))


def test_an_empty_drawing_is_still_a_drawing(write: Callable[[Scene], bytes]) -> None:
    assert write(Scene(10, 10, ()))
