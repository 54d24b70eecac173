"""SVG files: whole, short in their numbers, and with their type."""

from __future__ import annotations

import base64
import io
import re
import textwrap
from xml.etree import ElementTree

from every_mark import EVERY_MARK
from fontTools.ttLib import TTFont

from diagram.scene import Disc, Fill, Group, Scene, Stroke, Text
from diagram.style import Pen
from diagram.writers import svg

SMALL = Scene(
    40,
    30.5,
    (
        Stroke(((0.1 + 0.2, 1), (5, 1)), Pen("#0072b2", 0.7, (4.5, 1.5), "round")),
        Fill(((0, 0), (1, 0), (1, 1)), "#d9d9d9", Pen("#000000", 0.25)),
        Group("fence birch & oxer", (Disc((2, 2), 1.5, None, Pen("#000000", 0.25)),), "Birch"),
        Text((20, 15), "A < B", 3.175, "semibold", "middle", 30, "#595959"),
    ),
    title="Long & short",
    description="One of each.",
    language="pl",
    scale_denominator=200,
)


def test_a_small_drawing_in_full() -> None:
    assert svg.scene_bytes(SMALL, type_as="named").decode() == textwrap.dedent("""\
        <?xml version="1.0" encoding="utf-8"?>
        <svg baseProfile="full" font-family="'Source Sans Pro', sans-serif" height="30.5mm" \
lang="pl" role="graphics-document document" stroke-linejoin="round" \
style="background:#ffffff;font-kerning:none;font-variant-ligatures:none" \
version="1.1" viewBox="0 0 40 30.5" width="40mm" xml:lang="pl" \
xmlns="http://www.w3.org/2000/svg" xmlns:ev="http://www.w3.org/2001/xml-events" \
xmlns:xlink="http://www.w3.org/1999/xlink">
        <title>Long &amp; short</title>
        <desc>One of each.</desc>
        <defs />
        <path d="M0.3,1 5,1" fill="none" stroke="#0072b2" stroke-dasharray="4.5,1.5" \
stroke-linecap="round" stroke-width="0.7" />
        <path d="M0,0 1,0 1,1Z" fill="#d9d9d9" stroke="#000000" stroke-width="0.25" />
        <g class="fence-birch-oxer" role="graphics-object group">
        <title>Birch</title>
        <circle cx="2" cy="2" fill="none" r="1.5" stroke="#000000" stroke-width="0.25" />
        </g>
        <text fill="#595959" font-size="3.175" font-weight="600" text-anchor="middle" \
transform="rotate(-30,20,15)" x="20" xml:space="preserve" y="15">A &lt; B</text>
        </svg>
        """)


def test_within_a_page_it_is_the_same_without_a_declaration() -> None:
    declaration, _, rest = svg.scene_bytes(SMALL).decode().partition("\n")
    assert declaration.startswith("<?xml")
    assert svg.svg_text(SMALL) == rest.removesuffix("\n")


def test_no_number_has_more_than_three_decimals() -> None:
    text = svg.scene_bytes(EVERY_MARK, type_as="named").decode()
    assert not re.findall(r"\d\.\d{4,}", text)
    assert "e-" not in re.sub(r"[a-z]+-[a-z]+", "", text)


def faces(data: bytes) -> dict[str, set[str]]:
    """The characters of each embedded font, by its description."""
    rules = re.findall(r"@font-face\{(.*?);src:url\(\"data:font/ttf;base64,(.*?)\"", data.decode())
    return {
        description: {
            chr(code) for code in TTFont(io.BytesIO(base64.b64decode(font))).getBestCmap()
        }
        for description, font in rules
    }


def test_each_weight_in_use_is_carried_along() -> None:
    marks = (Text((1, 1), "10′", 3, "bold"), Text((1, 9), "Ω →", 3), Text((1, 9), "Д", 3, "italic"))
    found = faces(svg.scene_bytes(Scene(20, 20, marks)))
    assert list(found) == [
        'font-family:"Source Sans Pro";font-weight:400',
        'font-family:"Source Sans Pro";font-weight:700',
    ]
    regular, bold = found.values()
    assert {*"Ω→Д"} < regular
    assert {*"0123456789′"} < bold
    assert "A" not in regular | bold


def test_a_drawing_stays_small_with_its_type() -> None:
    marks = (Text((1, 1), "Hazel 12′", 3), Text((1, 9), "5", 3, "bold"))
    # Regular with figures, capitals and small letters; bold with figures only.
    assert len(svg.scene_bytes(Scene(20, 20, marks))) < 22_000


def test_a_drawing_without_words_carries_no_type() -> None:
    data = svg.scene_bytes(Scene(20, 20, (Disc((1, 1), 1),)))
    assert faces(data) == {}


def test_words_as_shapes_leave_no_text_behind() -> None:
    root = ElementTree.fromstring(svg.scene_bytes(SMALL, type_as="outlines"))
    assert root.find(".//{*}text") is None
    shapes = [path for path in root.iter() if path.tag.endswith("path")]
    # A stroke, a fill, three letters and two spaces.
    assert len(shapes) == 7


def test_a_screen_reader_is_told_what_it_is() -> None:
    root = ElementTree.fromstring(svg.scene_bytes(SMALL))
    assert [child.tag.rpartition("}")[2] for child in root][:2] == ["title", "desc"]
    assert root.get("role") == "graphics-document document"
    assert root.get("lang") == root.get("{http://www.w3.org/XML/1998/namespace}lang") == "pl"
    part = root.find("{*}g")
    assert part is not None
    assert part.get("role") == "graphics-object group"
    untitled = ElementTree.fromstring(svg.scene_bytes(Scene(10, 10, ())))
    assert untitled.find("{*}title") is None


def test_nothing_is_fetched_from_elsewhere() -> None:
    text = svg.scene_bytes(EVERY_MARK).decode()
    addresses = set(re.findall(r"https?://[^\"'<>\s)]+", text))
    assert addresses == {
        "http://www.w3.org/2000/svg",
        "http://www.w3.org/1999/xlink",
        "http://www.w3.org/2001/xml-events",
    }
