"""The sheet on paper: true to scale, every reading on it, blocks whole, cautions there."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pdfplumber
import pypdf
import pytest

from diagram.drawing.setting_plan import STOPPED, draw_setting
from diagram.pipeline import plan, plan_text, setting_bytes, setting_of
from diagram.scene import Group, Item, Stroke, Text, walk
from diagram.sections.cautions import CAUTIONS
from diagram.stakeout.crew import crew_for
from diagram.stakeout.pairs import tape_pairs
from diagram.stakeout.points import feet
from diagram.stakeout.setting import SettingOut
from diagram.stakeout.texts import change, error, reading
from diagram.writers.setting_csv import template_bytes

EXERCISES = sorted((Path(__file__).parents[2] / "exercises").glob("*-*.yaml"))
BENDS = EXERCISES[-1]

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


def _set(file: Path, units: str = "feet") -> SettingOut:
    return setting_of(plan(file), crew_for(units))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def setting() -> SettingOut:
    return _set(BENDS)


@pytest.fixture(scope="module")
def data(setting: SettingOut) -> bytes:
    return setting_bytes(setting, "pdf", form=True)


def _pages(data: bytes) -> list[str]:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return [" ".join((page.extract_text() or "").split()) for page in pdf.pages]


def _group(items: tuple[Item, ...], name: str) -> Group:
    return next(item for item in items if isinstance(item, Group) and item.name == name)


@pytest.mark.parametrize("file", EXERCISES, ids=lambda file: file.stem)
@pytest.mark.parametrize("shown", ["tapes", "baselines"])
def test_every_reading_is_on_its_drawing(file: Path, shown: str) -> None:
    made = _set(file)
    scene = draw_setting(made, 277, 184, shown).scene  # type: ignore[arg-type]
    texts = [item.text for item in scene.walk() if isinstance(item, Text)]
    for fence in made.fences:
        assert f"{fence.step} {fence.name}" in texts
        for foot in fence.feet[:2]:
            values = foot.tapes if shown == "tapes" else foot.offset
            for value in values or ():
                assert reading(value, made.crew) in texts
    for line in made.lines:
        words = reading(line.line.straight_m, made.crew)
        assert words in texts or f"{words} straight" in texts


def test_tapes_are_drawn_to_scale(setting: SettingOut) -> None:
    drawn = draw_setting(setting, 277, 184, "tapes")
    assert drawn.scene.scale_denominator == drawn.frame.denominator
    lines = _group(drawn.scene.items, "measured-lines")
    ends = {
        tuple(round(v, 3) for point in stroke.points for v in point)
        for stroke in walk(lines.children)
        if isinstance(stroke, Stroke)
    }
    for fence in setting.fences:
        for foot in fence.feet[:2]:
            for name in (foot.ways.tapes.first, foot.ways.tapes.second):
                start = setting.fixed.get(name) or setting.places[name]
                a, b = (drawn.frame.at(p) for p in (start, setting.places[foot.ways.foot.name]))
                assert tuple(round(v, 3) for v in (*a, *b)) in ends
    # 10 m at 1:350 is 28.57 mm.
    k = drawn.frame.mm(10.0)
    assert k == pytest.approx(10_000 / drawn.frame.denominator)


def test_no_reading_covers_another(setting: SettingOut) -> None:
    drawn = draw_setting(setting, 277, 184, "tapes")
    readings = walk(_group(drawn.scene.items, "measures").children)
    boxes = [t.bbox() for t in readings if isinstance(t, Text) and not t.angle]
    assert not [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.overlaps(b)]


def test_the_track_is_left_out_unless_it_is_asked_for(setting: SettingOut) -> None:
    without = draw_setting(setting, 277, 184, "tapes").scene
    faint = draw_setting(setting, 277, 184, "tapes", track=True).scene
    assert _group(without.items, "track").children == ()
    assert len(_group(faint.items, "track").children) == len(setting.plan.legs)


def test_all_cautions_and_the_foot_are_on_paper(data: bytes) -> None:
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    for caution in CAUTIONS:
        assert caution in " ".join(texts)
    for number, text in enumerate(texts, 1):
        assert f"page {number} of" in text
        assert "Not a substitute for the qualified person" in text


def test_a_block_is_never_parted(setting: SettingOut, data: bytes) -> None:
    pages = _pages(data)
    for fence in setting.fences:
        start = f"{fence.step} {fence.name} "
        [page] = [page for page in pages if start in page and "Tape 1 from" in page]
        for foot in fence.feet:
            for value in foot.tapes:
                assert reading(value, setting.crew) in page


def test_the_order_of_work_is_numbered(setting: SettingOut, data: bytes) -> None:
    page = next(page for page in _pages(data) if "Order of work" in page)
    at = [page.index(f"{fence.step} {fence.name} ") for fence in setting.fences]
    assert at == sorted(at)
    assert [fence.step for fence in setting.fences] == list(range(1, len(setting.fences) + 1))


def test_it_asks_for_full_size_and_embeds_its_type(data: bytes) -> None:
    pdf = pypdf.PdfReader(io.BytesIO(data), strict=True)
    assert pdf.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    sizes: set[float] = set()
    for page in pdf.pages:
        commands = page.get_contents().get_data().decode("latin-1")  # type: ignore[union-attr]
        sizes |= {float(size) for size in re.findall(r"/F\d+(?:\+\d+)? ([\d.]+) Tf", commands)}
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            assert "+SourceSansPro" in font.get_object()["/BaseFont"]
    assert min(sizes) >= 6.99
    # The readings of the blocks: legible at arm's length.
    assert max(sizes) >= 12.5


def test_the_same_setting_gives_the_same_bytes() -> None:
    one, other = (setting_bytes(_set(BENDS), "pdf") for _ in range(2))
    assert one == other


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid"])
def test_every_paper(setting: SettingOut, paper: str) -> None:
    assert len(_pages(setting_bytes(setting, "pdf", paper=paper))) >= 3


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
    pairs = tape_pairs(setting)
    known = {*setting.fixed, *feet(setting.plan)}
    assert {name for pair in pairs for name in pair} <= known
    assert len({frozenset(pair) for pair in pairs}) == len(pairs)
    for name in feet(setting.plan):
        assert sum(name in pair for pair in pairs) >= 3
    text = " ".join(page for page in _pages(data) if "From To Reads" in page)
    for pair in pairs:
        assert " ".join(pair) in text
    lines = template_bytes(setting).decode().splitlines()
    assert lines[0] == "from,to,metres"
    assert lines[1:] == [f"{start},{end}," for start, end in pairs]
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
