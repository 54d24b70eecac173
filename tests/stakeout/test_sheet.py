"""The leaf on paper: one page, type large enough, nothing over anything, cautions there."""

from __future__ import annotations

import io
import re
from itertools import product

import pdfplumber
import pypdf
import pytest
from made_once import leaves, set_out
from samples import SAMPLES, each

from diagram.drawing.blank_form import blank_form
from diagram.drawing.leaf_page import STOPPED
from diagram.pipeline import plan_text, setting_bytes, setting_of
from diagram.scene import Box, Group, Item, Stroke, Text
from diagram.sections.cautions import CAUTIONS
from diagram.stakeout.crew import crew_for
from diagram.stakeout.points import feet
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.texts import change, error, reading
from diagram.units import Units
from diagram.writers.setting_csv import template_bytes
from diagram.writers.setting_sheet import sheet_scenes

NAMES = [file.stem for file in SAMPLES]
BENDS = SAMPLES[-2]
SMALLEST_POINTS = 8.5
"""Nothing on a leaf is set smaller: looked up at leisure, at arm's length in the hand."""

STOPS = """\
tapeline: 1
title: "<b>Bold</b> & steep"
purpose: P.
level: 3'
arena: 30 x 60 m
horses: horse
fences:
  birch: {kind: vertical, at: [30 m, 15 m], facing: 0°, ground line: both sides}
ride:
  - start: canter
  - jump: birch, angled left 60°
  - finish: straight on, walk
"""


@pytest.fixture(scope="module")
def setting() -> SettingOut:
    return set_out(BENDS.stem, "feet")


@pytest.fixture(scope="module")
def data(setting: SettingOut) -> bytes:
    return setting_bytes(setting, "pdf", form=True)


def _pages(data: bytes) -> list[str]:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return [" ".join((page.extract_text() or "").split()) for page in pdf.pages]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("stem", NAMES)
def test_one_leaf_and_one_for_the_check(stem: str, paper: str) -> None:
    titles = [scene.title.partition(":")[0] for scene in leaves(stem, "feet", paper)]
    assert titles == ["Builder's leaf", "Second leaf"]


def _level(items: tuple[Item, ...]) -> list[Text]:
    """The words that are not turned, of all but the drawing."""
    out: list[Text] = []
    for item in items:
        if isinstance(item, Text) and not item.angle and item.text.strip():
            out.append(item)
        elif isinstance(item, Group) and item.name != "plan":
            out += _level(item.children)
    return out


def _ink(text: Text) -> Box:
    """Where its letters are, without the room above and below them: capitals are 0.66 high."""
    box = text.bbox()
    return Box(box.left, text.at[1] - 0.62 * text.size, box.right, text.at[1])


@pytest.mark.parametrize(
    ("stem", "units", "paper"),
    [
        *each(1, product(NAMES, ("feet", "metres", "both"), ("A4",))),
        *each(2, product(NAMES, ("feet", "metres", "both"), ("Letter",))),
    ],
)
def test_no_word_lies_on_another_or_off_the_page(stem: str, units: Units, paper: str) -> None:
    pages = leaves(stem, units, paper)
    form = blank_form(set_out(stem, units), pages[0].width, pages[0].height)
    for scene in (*pages, *form):
        boxes = [(text.text, _ink(text)) for text in _level(scene.items)]
        for n, (said, box) in enumerate(boxes):
            assert box.left > -0.2, said
            assert box.right < scene.width + 0.2, said
            assert box.bottom < scene.height, said
            over = [other for other, lies in boxes[n + 1 :] if box.overlaps(lies)]
            assert not over, f"{said!r} lies on {over!r}"


@pytest.mark.parametrize("stem", NAMES)
def test_the_tapes_are_drawn_to_scale(stem: str) -> None:
    """The thick lines, by their length on paper over what they read, have one scale."""
    made = set_out(stem, "feet")
    scene = leaves(stem, "feet", "A4")[0]
    plan_group = next(g for g in scene.items if isinstance(g, Group) and g.name == "plan")
    tapes = next(g for g in plan_group.children if isinstance(g, Group) and g.name == "tapes")
    [(x0, y0), (x1, y1)] = made.plan.arena.region.corners[:2]
    rail = next(
        item
        for group in plan_group.children
        if isinstance(group, Group) and group.name == "arena"
        for item in group.children
        if isinstance(item, Stroke)
    )
    ends = rail.points[0], rail.points[-1]
    scale = _length(*ends) / (((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5)
    read = [m for f in made.leaf.fences for r in f.readings for m in r.read_m]
    read += [check.read_m for check in made.leaf.checks]
    for stroke in tapes.children:
        if isinstance(stroke, Stroke):
            metres = _length(*stroke.points) / scale
            assert min(abs(metres - m) for m in read) < 0.1


def _length(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)


def test_the_track_is_left_out_unless_it_is_asked_for(setting: SettingOut) -> None:
    def legs(track: bool) -> int:
        found = sheet_scenes(setting, track=track)[0].walk()
        return next(len(g.children) for g in found if isinstance(g, Group) and g.name == "track")

    assert legs(track=False) == 0
    assert legs(track=True) == len(setting.plan.legs)


def test_all_cautions_and_the_foot_are_on_paper(data: bytes) -> None:
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    for caution in CAUTIONS:
        assert caution in " ".join(texts)
    for text in texts[:2]:
        assert "Not a substitute for the qualified person" in text


@pytest.mark.parametrize("stem", NAMES)
def test_type_is_large_enough_and_embedded(stem: str) -> None:
    pdf = pypdf.PdfReader(
        io.BytesIO(setting_bytes(set_out(stem, "feet"), "pdf", form=True)), strict=True
    )
    assert pdf.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    for page in pdf.pages:
        commands = page.get_contents().get_data().decode("latin-1")  # type: ignore[union-attr]
        for size, matrix in re.findall(
            r"/F\d+(?:\+\d+)? ([\d.]+) Tf(?:[^T]|T[^m])*?([-\d. ]+) Tm", commands
        ):
            a, b = (float(v) for v in matrix.split()[:2])
            assert float(size) * (a * a + b * b) ** 0.5 >= SMALLEST_POINTS - 0.6
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            assert "+SourceSansPro" in font.get_object()["/BaseFont"]
    sizes = [t.size for s in leaves(stem, "feet", "A4") for t in _level(s.items)]
    assert min(sizes) * 72 / 25.4 >= SMALLEST_POINTS - 1e-6


def test_the_same_setting_gives_the_same_bytes() -> None:
    one, other = (setting_bytes(set_out.__wrapped__(BENDS.stem, "feet"), "pdf") for _ in range(2))
    assert one == other


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_every_paper(setting: SettingOut, paper: str) -> None:
    with pdfplumber.open(io.BytesIO(setting_bytes(setting, "pdf", paper=paper))) as pdf:
        assert len(pdf.pages) == 2
        assert pdf.pages[0].width > pdf.pages[0].height


def test_other_kinds_are_refused(setting: SettingOut) -> None:
    with pytest.raises(ValueError, match="pdf, csv or json"):
        setting_bytes(setting, "png")
    with pytest.raises(ValueError, match="A4, Letter"):
        setting_bytes(setting, "pdf", paper="Foolscap")


def test_a_ride_that_must_not_be_ridden_says_so_first() -> None:
    made = setting_of(plan_text(STOPS), crew_for("feet"))
    pages = _pages(setting_bytes(made, "pdf"))
    assert STOPPED in pages[0]
    assert "<b>Bold</b> & steep" in pages[0]


def test_the_form_finds_every_foot(setting: SettingOut, data: bytes) -> None:
    lines = template_bytes(setting).decode().splitlines()
    assert lines[0] == "from,to,metres"
    pairs = [tuple(line.split(",")[:2]) for line in lines[1:]]
    known = {*setting.fixed, *feet(setting.plan)}
    assert {name for pair in pairs for name in pair} <= known
    assert len({frozenset(pair) for pair in pairs}) == len(pairs)
    for fence in setting.plan.fences:
        # Three unknowns, and one to check.
        assert sum(any(end.startswith(f"{fence.name} ") for end in p) for p in pairs) >= 4
    text = " ".join(page for page in _pages(data) if "As built" in page)
    assert "reads (feet, inches)" in text
    for _, end in pairs:
        assert end in text
    assert "As built" not in " ".join(_pages(setting_bytes(setting, "pdf")))


def test_readings_in_every_unit() -> None:
    feet_crew, metre_crew = crew_for("feet"), crew_for("metres")
    half = crew_for("feet", rounding=0.0127)
    assert reading(22.02, feet_crew) == "72'3\""
    assert reading(22.02, metre_crew) == "22.00 m"
    assert reading(22.02, crew_for("both")) == "72'3\" (22.02 m)"
    assert reading(22.034, half) == "72'3½\""
    assert reading(22.034, crew_for("metres", rounding=0.005)) == "22.035 m"
    assert error(0.0283, metre_crew) == "± 3 cm"
    assert error(0.0283, feet_crew) == '± 1½"'
    assert change(0.0064, feet_crew) == '¼" longer'
    assert change(-0.0064, metre_crew) == "6 mm shorter"
    assert change(0.0001, feet_crew) == change(0.0001, metre_crew) == "none"
