"""PDF files: what they say of themselves, and lines as in the SVG."""

from __future__ import annotations

import io
import re

import pypdf
import pytest
from every_mark import EVERY_MARK

from diagram.scene import Scene, Stroke, Text
from diagram.style import Pen, phase_pen
from diagram.writers import pdf


def reader(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def stream(data: bytes) -> str:
    return reader(data).pages[0].get_contents().get_data().decode("latin-1")


def test_it_asks_to_be_printed_at_full_size() -> None:
    root = reader(pdf.scene_bytes(EVERY_MARK)).trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712 - a pypdf object
    assert root["/Lang"] == "en"


def test_it_has_a_title_and_names_nobody() -> None:
    facts = reader(pdf.scene_bytes(EVERY_MARK)).metadata
    assert facts is not None
    assert facts.title == "Every mark"
    assert facts.subject == "Each kind of mark once."
    assert not facts.author
    assert facts.creator == "Tapeline"
    assert facts.creation_date is not None
    assert facts.creation_date.year == 2000


def test_compression_is_optional_and_changes_nothing_else() -> None:
    plain = pdf.scene_bytes(EVERY_MARK, compressed=False)
    packed = pdf.scene_bytes(EVERY_MARK)
    assert b"/Filter" not in plain
    assert len(packed) < len(plain)
    assert stream(plain) == stream(packed)


@pytest.mark.parametrize("index", range(6))
def test_dashes_ends_and_corners_are_those_of_the_pen(index: int) -> None:
    pen = phase_pen(index)
    text = stream(pdf.scene_bytes(Scene(50, 20, (Stroke(((5, 5), (45, 5)), pen),))))
    dash = re.findall(r"\[([\d. ]*)\] 0 d", text)[-1]
    mm = [float(length) * 25.4 / 72 for length in dash.split()]
    # Rounded to a thousandth of a point, 0.00035 mm.
    assert mm == pytest.approx(list(pen.dash), abs=0.0004)
    assert re.findall(r"(\d) J", text)[-1] == ("1" if pen.cap == "round" else "0")
    assert re.findall(r"(\d) j", text)[-1] == "1"
    width = float(re.findall(r"([\d.]+) w", text)[-1]) * 25.4 / 72
    assert width == pytest.approx(pen.width, abs=0.0004)


def test_a_solid_line_after_a_dashed_one_is_solid() -> None:
    marks = (
        Stroke(((5, 5), (45, 5)), Pen("#000000", 1, (2, 1), "round")),
        Stroke(((5, 9), (45, 9)), Pen("#000000", 1)),
    )
    text = stream(pdf.scene_bytes(Scene(50, 20, marks)))
    assert re.findall(r"\[(.*?)\] 0 d", text)[-1].strip() == ""
    assert re.findall(r"(\d) J", text)[-1] == "0"


def test_a_scene_can_be_put_anywhere_on_a_page_with_other_things() -> None:
    out = io.BytesIO()
    canvas = pdf.open_canvas(out, (210, 297), "Card", compressed=False)
    pdf.draw_scene(canvas, Scene(50, 20, (Text((5, 10), "first", 3),)), 20, 277)
    canvas.setFont(pdf.font_name("bold"), 12)
    canvas.drawString(100, 100, "between")
    pdf.draw_scene(canvas, Scene(50, 20, (Text((5, 10), "second", 3),)), 20, 200)
    canvas.showPage()
    canvas.save()
    page = reader(out.getvalue()).pages[0]
    places: dict[str, tuple[float, float]] = {}

    def note(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        if text.strip():
            x, y = tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]
            places[text.strip()] = (x * 25.4 / 72, y * 25.4 / 72)

    page.extract_text(visitor_text=note)
    # From the top left corner 5 mm to the right and 10 mm down; three roundings of 0.00035 mm.
    assert places["first"] == pytest.approx((25, 267), abs=0.002)
    assert places["second"] == pytest.approx((25, 190), abs=0.002)
    assert places["between"] == pytest.approx((100 * 25.4 / 72, 100 * 25.4 / 72), abs=0.002)


def test_the_page_is_as_large_as_the_scene_unless_told() -> None:
    page = reader(pdf.scene_bytes(EVERY_MARK)).pages[0]
    # Page sizes are printed to six significant digits of a point.
    assert float(page.mediabox.width) == pytest.approx(60 * 72 / 25.4, abs=0.001)
    assert float(page.mediabox.height) == pytest.approx(60 * 72 / 25.4, abs=0.001)
