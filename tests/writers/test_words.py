"""Words: embedded, selectable, the same in each kind of file, and never anything but words."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest
from PIL import Image

from diagram.scene import Group, Scene, Text
from diagram.typeface import FACE_NAMES, Weight, printable, text_width
from diagram.writers import pdf, png, svg

HOSTILE = [
    "<script>alert('rail')</script>",
    "</text><script>1</script>",
    "]]></style><script>1</script>",
    "&amp; & &#60;b&#62; &bogus;",
    "a \x00 b \x08 c \x1b[31m d \x7f e \x9f f",
    "left \u202e right \u2066 isolate \u200f mark",
    "🐎 🐴 👩‍🦰",
    "half \ud83d pair",
    "<!-- not a comment --> <![CDATA[ nor this ]]>",
    "(brackets) \\backslash ) Tj ET Q",
    "%PDF-1.7 endstream endobj",
    "url(http://example.org/x.png) javascript:1",
    "{{ template }} ${shell} $(run)",
    "two  spaces   three",
    "long " * 2000,
]
HOSTILE_IDS = [ascii(text[:20]) for text in HOSTILE]


def scene_of(text: str) -> Scene:
    marks = (Text((5, 10), text, 3), Group(text, (Text((5, 20), "inside", 3),), text))
    return Scene(120, 30, marks, title=text, description=text, language="en")


@pytest.mark.parametrize("text", HOSTILE, ids=HOSTILE_IDS)
def test_in_an_svg_it_stays_text(text: str) -> None:
    root = ElementTree.fromstring(svg.scene_bytes(scene_of(text)))
    names = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert names == {"svg", "title", "desc", "defs", "style", "text", "g"}
    words = root.find("{*}text")
    assert words is not None
    assert words.text == printable(text).text
    for element in root.iter():
        assert not [name for name in element.attrib if name.startswith(("on", "href"))]


@pytest.mark.parametrize("text", HOSTILE, ids=HOSTILE_IDS)
def test_in_a_pdf_it_stays_text(text: str) -> None:
    data = pdf.scene_bytes(scene_of(text), compressed=False)
    reader = pypdf.PdfReader(io.BytesIO(data), strict=True)
    assert len(reader.pages) == 1
    # Spaces are left to the reader of a PDF to guess from the places of the letters.
    found = "".join(reader.pages[0].extract_text().split())
    assert found == "".join(printable(text).text.split()) + "inside"
    for risky in ("/JavaScript", "/JS", "/AA", "/OpenAction", "/URI", "/Launch"):
        assert risky not in reader.trailer["/Root"]


@pytest.mark.parametrize("text", HOSTILE[:-1], ids=HOSTILE_IDS[:-1])
def test_in_a_png_it_does_no_harm(text: str) -> None:
    assert png.scene_bytes(scene_of(text), dpi=30).startswith(b"\x89PNG")


WEIGHTS: tuple[Weight, ...] = tuple(FACE_NAMES)
SAMPLE = "Tapeline 12′6″ → Zażółć"


def test_all_four_faces_are_embedded_in_a_pdf_and_no_other() -> None:
    marks = tuple(Text((5, 10 + 5 * i), SAMPLE, 3, weight) for i, weight in enumerate(WEIGHTS))
    reader = pypdf.PdfReader(io.BytesIO(pdf.scene_bytes(Scene(80, 40, marks))))
    fonts = reader.pages[0]["/Resources"]["/Font"].values()
    found = {}
    for reference in fonts:
        font = reference.get_object()
        embedded = font["/FontDescriptor"].get_object()["/FontFile2"].get_object().get_data()
        found[font["/BaseFont"].rpartition("+")[2]] = len(embedded)
    assert set(found) == set(FACE_NAMES.values())
    # A whole face is 290 kB: only the glyphs in use may travel.
    assert max(found.values()) < 30_000
    lines = reader.pages[0].extract_text().splitlines()
    assert [line.strip() for line in lines if line.strip()] == [SAMPLE] * 4


def columns(picture: Image.Image) -> tuple[int, int]:
    """First and last column with ink darker than half grey."""
    box = picture.convert("L").point(lambda value: 255 * (value < 128)).getbbox()
    assert box is not None
    return box[0], box[2]


@pytest.mark.parametrize("weight", WEIGHTS)
def test_words_are_as_long_and_as_heavy_in_png_and_pdf(
    weight: Weight, raster: Callable[[bytes], Image.Image]
) -> None:
    # The letters at both ends have upright stems on their outer sides.
    text = "HAMBURGEFONTSIVMEN 12′6″ N"
    scene = Scene(120, 20, (Text((5, 13), text, 7, weight),))
    pictures = [
        raster(pdf.scene_bytes(scene)),
        Image.open(io.BytesIO(png.scene_bytes(scene))).convert("RGB"),
    ]
    # Outer stems stand up to a tenth of an em inside the advance: 0.7 mm on each side; and the
    # painter of the PDF puts each letter on a fraction of a pixel of its own choice.
    ends = (50, 50 + text_width(text, 70, weight))
    for picture in pictures:
        assert columns(picture) == pytest.approx(ends, abs=8)
    assert columns(pictures[0]) == pytest.approx(columns(pictures[1]), abs=1)
    darkness = [
        sum(255 - value for value in picture.convert("L").tobytes()) for picture in pictures
    ]
    # Neighbouring weights differ by 20 % and more in ink; edges are painted a little differently.
    assert darkness[0] == pytest.approx(darkness[1], rel=0.04)


def test_a_png_needs_no_font_on_the_machine(tmp_path: Path) -> None:
    settings = tmp_path / "fonts.conf"
    settings.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
        f"<cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    program = (
        "import sys; from diagram.scene import Scene, Text; from diagram.writers import png; "
        "scene = Scene(20, 20, (Text((2, 18), 'H', 20, 'bold'),)); "
        "sys.stdout.buffer.write(png.scene_bytes(scene))"
    )
    environment = {
        **os.environ,
        "FONTCONFIG_FILE": str(settings),
        "HOME": str(tmp_path),
        "PYTHONPATH": os.pathsep.join(sys.path),
    }
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, check=True
    )
    picture = Image.open(io.BytesIO(done.stdout)).convert("L")
    # An H of 20 mm bold: paper, left stem, paper above and below the bar, right stem, paper.
    row = [picture.getpixel((round(x * 10), 70)) for x in (2.5, 4.8, 8, 13, 16)]
    assert row == [255, 0, 255, 0, 255]
    assert picture.getpixel((80, 115)) == 0
    assert done.stderr == b""
