"""A line of 50 mm measures 50 mm in every file, on every paper."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from xml.etree import ElementTree

import pypdf
import pytest
from PIL import Image

from diagram.scene import Disc, Scene, Stroke
from diagram.style import Pen
from diagram.writers import pdf, png, svg

MM_PER_POINT = 25.4 / 72
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}

PEN = Pen("#000000", 1)
ACROSS = Scene(80, 60, (Stroke(((15, 30), (65, 30)), PEN, sized="ground"),), "Across")
DOWN = Scene(80, 60, (Stroke(((40, 5), (40, 55)), PEN, sized="ground"),), "Down")
BOTH = pytest.mark.parametrize("scene", [ACROSS, DOWN], ids=["across", "down"])


def ink(picture: Image.Image) -> tuple[int, int]:
    """Width and height in pixels of what is darker than half grey."""
    box = picture.convert("L").point(lambda value: 255 * (value < 128)).getbbox()
    assert box is not None
    return box[2] - box[0], box[3] - box[1]


def test_points_per_mm_is_right() -> None:
    assert pytest.approx(72 / 25.4) == pdf.POINTS_PER_MM


@pytest.mark.parametrize("paper", PAPERS)
@BOTH
def test_in_the_numbers_of_a_pdf(scene: Scene, paper: str) -> None:
    data = pdf.scene_bytes(scene, page_mm=PAPERS[paper], compressed=False)
    page = pypdf.PdfReader(io.BytesIO(data)).pages[0]
    # Page sizes are printed to six significant digits of a point.
    size = (float(page.mediabox.width), float(page.mediabox.height))
    assert size == pytest.approx(tuple(mm / MM_PER_POINT for mm in PAPERS[paper]), abs=0.001)
    stream = page.get_contents().get_data().decode("latin-1")
    assert "cm" not in re.sub(r"1 0 0 1 \S+ \S+ cm", "", stream), "something is scaled"
    number = r"(-?[\d.]+)"
    line = re.search(rf"{number} {number} m {number} {number} l\s+S", stream)
    assert line is not None
    x1, y1, x2, y2 = (float(value) for value in line.groups())
    length = (abs(x2 - x1) + abs(y2 - y1)) * MM_PER_POINT
    # Both ends are rounded to a thousandth of a point, 0.00035 mm.
    assert length == pytest.approx(50.0, abs=0.0004)


@pytest.mark.parametrize("paper", PAPERS)
@BOTH
def test_on_the_painted_page(
    scene: Scene, paper: str, raster: Callable[[bytes], Image.Image]
) -> None:
    picture = raster(pdf.scene_bytes(scene, page_mm=PAPERS[paper]))
    # A page that ends within a pixel gets the whole pixel.
    width, height = PAPERS[paper]
    assert picture.size == pytest.approx((width * 10, height * 10), abs=1)
    # 0.1 mm, one pixel: an end that falls within a pixel may count or not.
    assert max(ink(picture)) == pytest.approx(500, abs=1)
    assert min(ink(picture)) == pytest.approx(10, abs=1)


@BOTH
def test_in_a_png(scene: Scene) -> None:
    picture = Image.open(io.BytesIO(png.scene_bytes(scene)))
    assert picture.size == (800, 600)
    # The ends lie on the borders of pixels: nothing to round.
    assert sorted(ink(picture)) == [10, 500]


def test_a_png_at_another_resolution_is_as_large() -> None:
    picture = Image.open(io.BytesIO(png.scene_bytes(ACROSS, dpi=96)))
    # One pixel at 96 dpi is 0.26 mm.
    assert max(ink(picture)) == pytest.approx(50 / 25.4 * 96, abs=1)
    # The file counts whole pixels per metre: half of one in 3780 is 0.013 dpi.
    assert picture.info["dpi"] == pytest.approx((96, 96), abs=0.013)


@BOTH
def test_in_the_numbers_of_an_svg(scene: Scene) -> None:
    root = ElementTree.fromstring(svg.scene_bytes(scene))
    assert (root.get("width"), root.get("height")) == ("80mm", "60mm")
    assert root.get("viewBox") == "0 0 80 60"
    path = root.find("{*}path")
    assert path is not None
    assert path.get("d") in ("M15,30 65,30", "M40,5 40,55")
    assert not [element for element in root.iter() if element.get("transform")]


def test_a_drawing_larger_than_its_page_is_refused_not_shrunk() -> None:
    with pytest.raises(ValueError, match=r"80\.0 x 60\.0 mm does not fit .* 70\.0 x 100\.0 mm"):
        pdf.scene_bytes(ACROSS, page_mm=(70, 100))


def test_what_lies_beyond_the_edge_is_cut_off(raster: Callable[[bytes], Image.Image]) -> None:
    scene = Scene(20, 20, (Disc((20, 10), 5),))
    for picture in (
        raster(pdf.scene_bytes(scene, page_mm=(60, 20))),
        Image.open(io.BytesIO(png.scene_bytes(scene))),
    ):
        # Half a disc of 5 mm radius; a pixel for the edge that is cut.
        assert ink(picture) == pytest.approx((50, 100), abs=1)
