"""Other views of the same drawing: phases, phone, wall, colouring."""

from __future__ import annotations

import io
import itertools
import os
import re
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pypdf
import pytest
from PIL import Image
from samples import SAMPLES

from diagram.pipeline import PHONE_PIXELS, drawing_of, drawn_bytes, plan
from diagram.scene import Disc, Fill, Group, Scene, Stroke, Text
from diagram.sections.page import PAPERS
from diagram.style import PHASE_COLOURS, SMALL
from diagram.writers.tiles import EDGE, OVERLAP, tiling, words_of

ROOT = Path(__file__).parents[2]
EXERCISE = plan(ROOT / "exercises" / "forward-wait-and-a-double.yaml")
NAMES = [file.stem for file in SAMPLES]
ONE_PHASE = plan(ROOT / "exercises" / "grid-from-trot-on-the-centre-line.yaml")


def test_each_phase_has_a_small_drawing_with_only_its_numbers() -> None:
    drawn = drawing_of(EXERCISE, view="phases")
    small = [g for g in drawn.scene.items if isinstance(g, Group) and g.name.startswith("phase-")]
    assert len(small) == len(EXERCISE.course.phases) == 2
    for n, group in enumerate(small):
        numbers = set(re.findall(r"number-(\w+)", _names(group)))
        own = {c.jump.label for c in EXERCISE.crossings if c.jump.phase == n}
        # A fence beside the finish has no room for its number in so small a drawing yet.
        assert numbers == own
    assert (drawn.scene.width, drawn.scene.height) in ((297, 210), (210, 297))


@pytest.mark.parametrize("view", ["phases", "phone", "wall", "colouring"])
@pytest.mark.parametrize("name", NAMES)
def test_every_number_finds_a_place_in_every_view(name: str, view: str) -> None:
    drawn = drawing_of(plan(ROOT / "exercises" / f"{name}.yaml"), view=view)
    missing = [label.name for label in drawn.unplaced]
    wanted = ("number", "fence") if (name, view) == CROWDED else ("number", "fence", "count")
    assert [one for one in missing if one.startswith(wanted)] == []


CROWDED = ("clover-of-five", "phone")
"""Nine jumps, five over one fence, a hand wide: one count is told of at the foot instead."""


def _names(group: Group) -> str:
    inner = (_names(child) for child in group.children if isinstance(child, Group))
    return " ".join([group.name, *inner])


def test_a_ride_of_one_phase_is_drawn_once() -> None:
    assert drawing_of(ONE_PHASE, view="phases").scene == drawing_of(ONE_PHASE).scene


def test_a_phone_gets_an_upright_picture_as_wide_as_its_screen() -> None:
    drawn = drawing_of(EXERCISE, view="phone")
    picture = Image.open(io.BytesIO(drawn_bytes(drawn, "png", view="phone")))
    assert abs(picture.width - PHONE_PIXELS) <= 1
    assert picture.height > picture.width
    # The arena's long side runs up the picture: 10 m along it are 10 m at the stated scale.
    a, b = drawn.frame.at((0.0, 0.0)), drawn.frame.at((10.0, 0.0))
    assert a[0] == b[0]
    assert a[1] - b[1] == pytest.approx(10_000 / drawn.frame.denominator)


@pytest.mark.parametrize("scale", [50, 100, 130])
def test_a_wall_drawing_is_enlarged_to_its_scale(scale: float) -> None:
    drawn = drawing_of(EXERCISE, view="wall", scale=scale)
    assert drawn.scene.scale_denominator == pytest.approx(scale)
    rail = next(m for m in drawn.scene.items if isinstance(m, Group) and m.name == "arena")
    sides = [mark.points for mark in rail.children if isinstance(mark, Stroke)]
    # The near long side of the field is 75 m.
    longest = max(abs(side[1][0] - side[0][0]) for side in sides)
    assert longest == pytest.approx(75_000 / scale)
    assert any(
        m.text.startswith(f"1:{scale:g} ") for m in drawn.scene.walk() if isinstance(m, Text)
    )


def test_neighbouring_sheets_have_a_centimetre_in_common() -> None:
    """Portrait A4 within its edges and foot note: 190 x 271 mm; two side by side show 370 mm."""
    for width, columns in ((190.0, 1), (190.5, 2), (370.0, 2), (370.5, 3)):
        sheets = tiling(Scene(width, 271.0, ()), (210.0, 297.0))
        assert sheets.sheets == columns
        assert sheets.step == pytest.approx([side - 10 for side in sheets.shown])


def test_seams_give_way_to_words() -> None:
    """No more sheets, and far fewer words that no sheet has whole: none where there is room."""
    split = {}
    for name in ("figure-of-eight-with-new-leads", "clover-of-five", "fan-of-three-angles"):
        scene = drawing_of(plan(ROOT / "exercises" / f"{name}.yaml"), view="wall").scene
        sheets = tiling(scene, PAPERS["A4"])
        words = [word.bbox() for mark in scene.walk() if isinstance(mark, Text)
                 for word in words_of(mark)]  # fmt: skip
        split[name] = sum(
            not any(x <= w.left and w.right <= x + sheets.shown[0] for x in sheets.across)
            or not any(y <= w.top and w.bottom <= y + sheets.shown[1] for y in sheets.down)
            for w in words
        )
        assert len(sheets.across) * len(sheets.down) == sheets.sheets
    assert set(split.values()) == {0}


def test_its_sheets_cover_it_and_overlap() -> None:
    scene = drawing_of(EXERCISE, view="wall").scene
    sheets = tiling(scene, PAPERS["A4"])
    for size, starts, shown in zip(
        (scene.width, scene.height), (sheets.across, sheets.down), sheets.shown, strict=True
    ):
        assert starts[0] == 0.0
        assert starts[-1] + shown >= size
        for one, other in itertools.pairwise(starts):
            assert OVERLAP - 1e-6 <= one + shown - other < shown
        assert shown + 2 * EDGE <= max(PAPERS["A4"])
    data = drawn_bytes(drawing_of(EXERCISE, view="wall"), "pdf", view="wall")
    pdf = pypdf.PdfReader(io.BytesIO(data), strict=True)
    assert len(pdf.pages) == sheets.sheets > 1
    assert pdf.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert f"row 1 of {sheets.rows}, column 2 of {sheets.columns}" in pdf.pages[1].extract_text()


def test_each_sheet_has_only_its_own_words() -> None:
    """A word whole on one sheet is not begun on another, and none is lost."""
    drawn = drawing_of(EXERCISE, view="wall", scale=50)
    pdf = pypdf.PdfReader(io.BytesIO(drawn_bytes(drawn, "pdf", view="wall")), strict=True)
    pages = [page.extract_text() for page in pdf.pages]
    for fence in EXERCISE.fences:
        # A name that no sheet has whole goes on word by word.
        on = sum(all(word in page for word in fence.name.split()) for page in pages)
        assert 1 <= on < len(pages)


def test_a_drawing_for_colouring_has_no_colour() -> None:
    scene = drawing_of(EXERCISE, view="colouring").scene
    colours = set()
    for mark in scene.walk():
        match mark:
            case Stroke(pen=pen):
                colours.add(pen.colour)
            case Fill(colour=colour, pen=pen) | Disc(fill=colour, pen=pen):
                colours |= {colour, pen.colour if pen else None}
    assert not colours & set(PHASE_COLOURS)


@pytest.mark.parametrize("view", ["sheet", "phases", "phone", "wall", "colouring"])
def test_no_type_is_too_small(view: str) -> None:
    for made in (EXERCISE, ONE_PHASE):
        drawn = drawing_of(made, view=view)  # type: ignore[arg-type]
        sizes = [mark.size for mark in drawn.scene.walk() if isinstance(mark, Text)]
        assert min(sizes) >= SMALL - 1e-9


PROGRAM = """
import hashlib, sys
from diagram.pipeline import drawing_of, drawn_bytes, plan
made = plan(sys.argv[1])
for view in ("sheet", "phases"):
    drawn = drawing_of(made, view=view)
    for kind in ("svg", "pdf"):
        print(view, kind, hashlib.sha256(drawn_bytes(drawn, kind, view=view)).hexdigest())
"""


def test_two_processes_write_the_same_bytes() -> None:
    """Another one, and this one, which has written other things before."""
    environment = {**os.environ, "PYTHONHASHSEED": "77"}
    environment["PYTHONPATH"] = os.pathsep.join(sys.path)
    command = [sys.executable, "-c", PROGRAM, ONE_PHASE.document.name]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    here = []
    for view in ("sheet", "phases"):
        drawn = drawing_of(ONE_PHASE, view=view)  # type: ignore[arg-type]
        for kind in ("svg", "pdf"):
            data = drawn_bytes(drawn, kind, view=view)  # type: ignore[arg-type]
            here.append(f"{view} {kind} {sha256(data).hexdigest()}")
    assert done.stdout.splitlines() == here
