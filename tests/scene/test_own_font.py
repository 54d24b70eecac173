"""A font of the user's: named in a settings file, shaped by HarfBuzz, painted by every writer.

The font is made here, so that what it does is known: every letter has an advance of its own, the
Arabic beh has its four forms, and the Devanagari vowel sign i stands before its consonant as the
Unicode Standard (chapter 12.1) asks.
"""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from diagram import ownfont, typeface
from diagram.sections.paragraphs import paragraph, words
from diagram.typeface import FACE_NAMES
from diagram.writers.pdf import font_name, open_canvas

WIDTHS = {
    ".notdef": 500, "space": 250, "alef": 610, "shin": 620, "mem": 630, "ni": 1000,
    "beh": 710, "beh.init": 720, "beh.medi": 730, "beh.fina": 740, "ka": 810, "i": 120,
}  # fmt: skip
CMAP = {
    0x20: "space", 0x5D0: "alef", 0x5E9: "shin", 0x5DD: "mem", 0x4F60: "ni", 0x628: "beh",
    0x915: "ka", 0x93F: "i",
}  # fmt: skip
FEATURES = """
languagesystem arab dflt;
feature init { sub beh by beh.init; } init;
feature medi { sub beh by beh.medi; } medi;
feature fina { sub beh by beh.fina; } fina;
"""


def _font(path: Path) -> Path:
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(WIDTHS))
    builder.setupCharacterMap(CMAP)
    glyphs = {}
    for name, width in WIDTHS.items():
        pen = TTGlyphPen(None)
        pen.moveTo((20, 0))
        pen.lineTo((20, 700))
        pen.qCurveTo((width // 2, 800), (width - 20, 700))
        pen.lineTo((width - 20, 0))
        pen.closePath()
        glyphs[name] = pen.glyph()
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics({name: (width, 20) for name, width in WIDTHS.items()})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Made", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    addOpenTypeFeaturesFromString(builder.font, FEATURES)
    builder.save(path)
    return path


def _forget() -> None:
    for function in (
        ownfont.named_font, typeface.settable, typeface.weight_for, typeface.is_plain,
        typeface.outlined, typeface._em_width, typeface._em_rise,
    ):  # fmt: skip
        function.cache_clear()  # type: ignore[attr-defined]


@pytest.fixture
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    _font(tmp_path / "made.ttf")
    file = tmp_path / "settings.yaml"
    file.write_text("font: made.ttf\n", encoding="utf-8")
    monkeypatch.setenv("TAPELINE_SETTINGS", str(file))
    _forget()
    yield file
    monkeypatch.undo()
    _forget()


def _glyphs(text: str, rtl: bool) -> list[str]:
    font = ownfont.own_font()
    assert font is not None
    return [shape.glyph for shape in font.shapes(text, rtl)]


def test_without_settings_there_is_no_font(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TAPELINE_SETTINGS", str(tmp_path / "none.yaml"))
    _forget()
    assert ownfont.named_font() == (None, "")
    assert typeface.settable("שם").missing == ("ש", "ם")
    _forget()


@pytest.mark.usefixtures("settings")
def test_hebrew_runs_from_the_right_and_is_as_wide_as_its_letters() -> None:
    assert typeface.settable("שם").missing == ()
    assert not typeface.is_plain("שם")
    assert _glyphs("שם", rtl=True) == ["mem", "shin"]
    assert typeface.text_width("שם", 10.0) == pytest.approx(12.5)
    assert typeface.text_width("a שם", 10.0) == pytest.approx(
        12.5 + typeface.text_width("a ", 10.0)
    )


@pytest.mark.usefixtures("settings")
def test_han_is_set_and_another_letter_is_told_of() -> None:
    assert typeface.settable("你").missing == ()
    assert typeface.text_width("你你", 10.0) == pytest.approx(20.0)
    assert typeface.settable("你好").missing == ("好",)


@pytest.mark.usefixtures("settings")
def test_arabic_letters_join() -> None:
    pytest.importorskip("uharfbuzz")
    assert _glyphs("بب", rtl=True) == ["beh.fina", "beh.init"]
    assert _glyphs("ببب", rtl=True) == ["beh.fina", "beh.medi", "beh.init"]


@pytest.mark.usefixtures("settings")
def test_a_vowel_sign_goes_before_its_consonant() -> None:
    pytest.importorskip("uharfbuzz")
    assert _glyphs("कि", rtl=False) == ["i", "ka"]


@pytest.mark.usefixtures("settings")
def test_without_the_library_scripts_that_must_be_shaped_stay_boxes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "uharfbuzz", None)
    assert typeface.settable("بب").missing == ("ب",)
    assert typeface.settable("कि").missing == ("क", "ि")
    assert typeface.settable("שם 你").missing == ()
    assert _glyphs("שם", rtl=True) == ["mem", "shin"]


@pytest.mark.parametrize(
    ("text", "painted"),
    [
        ("abc", ["abc"]),
        ("a שם b", ["a ", "שם", " b"]),
        ("שם a", ["a", " ", "שם"]),
        ("שם 12 אש", ["אש", " ", "12", " ", "שם"]),
        ("אש, 5", ["5", " ,", "אש"]),
    ],
)
def test_order_on_paper(text: str, painted: list[str]) -> None:
    """After the Unicode bidirectional algorithm, UAX 9, in its plain cases, from memory."""
    runs = ownfont.in_order(text, lambda letter, _rtl: "\u0590" <= letter <= "\u05ff")
    joined = "|".join(run.text[::-1] if run.rtl and not run.own else run.text for run in runs)
    expected = "".join(painted)
    assert joined.replace("|", "") == expected


CARD = """\
tapeline: 1
title: "שם"
purpose: "שם a"
level: 3'
arena: 30 x 60 m
fences:
  birch: {kind: vertical, at: [20 m, 9 m], facing: 0°}
ride:
  - jump: birch
"""


def test_a_drawing_has_the_shapes_in_every_kind_of_file(settings: Path, tmp_path: Path) -> None:
    """In a program of its own: the settings are read once."""
    file = tmp_path / "e.yaml"
    file.write_text(CARD, encoding="utf-8")
    for kind in ("svg", "pdf", "dxf"):
        command = [sys.executable, "-m", "diagram.cli", "draw", str(file),
                   "--to", str(tmp_path / f"e.{kind}")]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        assert "cannot-be-set" not in done.stderr
    drawn = (tmp_path / "e.svg").read_text(encoding="utf-8")
    assert 'aria-label="שם"' in drawn
    font = ownfont.own_font()
    assert font is not None
    assert font.outline("shin") in drawn
    assert settings.exists()


@pytest.mark.usefixtures("settings")
def test_paragraphs_of_a_page_are_set_with_it_too() -> None:
    """Four letters as filled shapes, and no box; the line beside it stays text."""
    out = io.BytesIO()
    canvas = open_canvas(out, (100.0, 50.0), "t")
    for name in FACE_NAMES:
        font_name(name)
    flow = paragraph(words("a שם b") + "<br/>" + words("plain"))
    flow.wrap(200.0, 100.0)
    flow.drawOn(canvas, 10.0, 10.0)
    canvas.save()
    (page,) = pypdf.PdfReader(out).pages
    painted = page.get_contents()
    assert painted is not None
    shapes = [line for line in painted.get_data().split(b"\n") if line.endswith(b" f")]
    assert len([shape for shape in shapes if b" l" in shape or b" c" in shape]) == 4
    assert page.extract_text().strip() == "plain"


@pytest.mark.parametrize("said", ["fnt: a.ttf\n", "font: none.ttf\n", "font: settings.yaml\n", ":"])
def test_broken_settings_are_told_of(settings: Path, said: str) -> None:
    settings.write_text(said, encoding="utf-8")
    _forget()
    font, wrong = ownfont.named_font()
    assert font is None
    assert str(settings) in wrong
