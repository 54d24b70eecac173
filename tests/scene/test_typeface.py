"""The typeface: true widths, every character accounted for, and cheap to ask."""

from __future__ import annotations

import io
import os
import subprocess
import sys

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont
from PIL import ImageFont

from diagram import typeface
from diagram.typeface import (
    Weight,
    font_subset,
    glyph_outline,
    printable,
    text_rise,
    text_width,
    weight_for,
)

WEIGHTS: tuple[Weight, ...] = tuple(typeface.FACE_NAMES)

POLISH = "ĄĆĘŁŃÓŚŹŻąćęłńóśźż"
GREEK = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰ"
CYRILLIC = "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдеёжзийклмнопрстуфхцчшщъыьэюяҐґЄєІіЇї"
SIGNS = "′″°×½¼¾–—−←→↑↓·•…"


@pytest.mark.parametrize("weight", WEIGHTS)
def test_measures_agree_with_a_font_library(weight: Weight) -> None:
    font = TTFont(typeface.font_file(weight))
    names = font.getBestCmap()
    face = typeface.face(weight)
    basic = {chr(code) for code in names if code <= 0xFFFF}
    assert basic - set(face.advances) == {"\u00ad", "\ufeff"}
    for character, advance in face.advances.items():
        name = names[ord(character)]
        assert advance * 1000 == pytest.approx(font["hmtx"][name][0])
        glyph = font["glyf"][name]
        if character in face.rises:
            assert face.rises[character] == (glyph.yMin / 1000, glyph.yMax / 1000)
        else:
            assert glyph.numberOfContours == 0


def test_ratios_are_those_of_the_regular_face() -> None:
    table = TTFont(typeface.font_file("regular"))["OS/2"]
    assert table.sCapHeight == typeface.CAP_HEIGHT * 1000
    assert table.sxHeight == typeface.X_HEIGHT * 1000
    assert table.sTypoAscender == typeface.ASCENDER * 1000
    assert table.sTypoDescender == -typeface.DESCENDER * 1000


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("text", [POLISH, SIGNS])
def test_polish_and_signs_have_glyphs_in_every_face(text: str, weight: Weight) -> None:
    assert printable(text).missing == ()
    assert weight_for(text, weight) == weight


@pytest.mark.parametrize("text", [GREEK, CYRILLIC])
def test_greek_and_cyrillic_have_glyphs_upright(text: str) -> None:
    assert printable(text).missing == ()
    assert [weight_for(text, weight) for weight in WEIGHTS] == [
        "regular",
        "semibold",
        "bold",
        "regular",
    ]


@pytest.mark.parametrize(
    ("text", "text_set", "missing"),
    [
        ("12′6″ → Zażółć", "12′6″ → Zażółć", ()),
        ("one\ttwo\nthree\u00a0four\u2003five", "one two three four five", ()),
        ("cafe\u0301", "café", ()),
        ("①②  ４", "12  4", ()),
        ("a\x00b", "a☐b", ("\x00",)),
        ("left\u202eright", "left☐right", ("\u202e",)),
        ("soft\u00adly\ufeff", "soft☐ly☐", ("\u00ad", "\ufeff")),
        ("horse 🐎🐎", "horse ☐☐", ("🐎",)),
        ("סוס", "☐☐☐", ("ס", "ו")),
        ("\ud800", "☐", ("\ud800",)),
        ("", "", ()),
    ],
)
def test_nothing_disappears(text: str, text_set: str, missing: tuple[str, ...]) -> None:
    assert printable(text).text == text_set
    assert printable(text).missing == missing
    assert printable(text_set).text == text_set


def test_width_grows_with_size_and_counts_what_is_printed() -> None:
    assert text_width("Tape", 10) == pytest.approx(2 * text_width("Tape", 5))
    assert text_width("a\x00b", 3) == pytest.approx(text_width("a☐b", 3))
    assert text_width("Ω", 3, "italic") == text_width("Ω", 3, "regular")
    assert text_width("", 3) == 0


def test_rise_is_that_of_the_ink() -> None:
    assert text_rise("H", 10) == pytest.approx((0, 6.56))
    low, high = text_rise("Żg", 10)
    assert low < -2 < 8 < high
    assert text_rise("   ", 10) == (0, 0)


def test_a_subset_has_its_characters_and_no_others() -> None:
    data = font_subset("bold", "12′6″")
    font = TTFont(io.BytesIO(data))
    assert {chr(code) for code in font.getBestCmap()} == set("12′6″")
    assert font["hmtx"][font.getBestCmap()[ord("1")]][0] == text_width("1", 1000, "bold")
    # A font engine of its own measures the same; it counts in 64ths of a unit.
    engine = ImageFont.truetype(io.BytesIO(data), 1000)
    expected = text_width("12′6″", 1000, "bold")
    assert engine.getlength("12′6″") == pytest.approx(expected, abs=1 / 64)
    # A full face is 290 kB.
    assert len(data) < 4000


def test_an_outline_reaches_as_high_as_the_glyph() -> None:
    pen = BoundsPen(None)
    parse_path(glyph_outline("Ż", "regular"), pen)
    _, low, _, high = pen.bounds
    assert (low / 1000, high / 1000) == typeface.face("regular").rises["Ż"]


def test_measuring_loads_no_library() -> None:
    """A check of a definition measures no more than words, and must not wait for writers."""
    code = (
        "import sys; from diagram.style import text_width; import diagram.scene; "
        "text_width('Tapeline', 3, 'bold'); "
        "print([m for m in ('fontTools', 'reportlab', 'svgwrite', 'cairosvg') if m in sys.modules])"
    )
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
