"""The same drawing on a machine without fonts, and in a browser, at its true size."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest
from PIL import Image

from diagram.pipeline import draw, drawing_of, plan
from diagram.scene import Stroke, Text
from diagram.typeface import FACE_NAMES
from diagram.writers import pdf

ROOT = Path(__file__).parents[2]
EXERCISE = ROOT / "exercises" / "straight-out-and-home-on-an-angle.yaml"
BROWSER = next(
    (found for name in ("chromium-headless-shell", "chromium", "google-chrome")
     if (found := shutil.which(name))),
    None,
)  # fmt: skip

PROGRAM = """
import sys
from pathlib import Path
from diagram.pipeline import draw, plan
draw(plan(sys.argv[1]), Path(sys.argv[2]), dpi=254)
"""


@pytest.fixture(scope="module")
def without_fonts(tmp_path_factory: pytest.TempPathFactory) -> Image.Image:
    """The PNG as it comes from a process to which fontconfig shows no font at all."""
    folder = tmp_path_factory.mktemp("bare")
    empty = folder / "fonts.conf"
    empty.write_text("<?xml version='1.0'?><fontconfig></fontconfig>", encoding="utf-8")
    target = folder / "drawing.png"
    environment = {
        **os.environ, "FONTCONFIG_FILE": str(empty), "PYTHONPATH": os.pathsep.join(sys.path)
    }  # fmt: skip
    subprocess.run(
        [sys.executable, "-c", PROGRAM, str(EXERCISE), str(target)], env=environment, check=True
    )
    return Image.open(target).convert("L")


def test_words_are_in_the_png(without_fonts: Image.Image) -> None:
    """Each word has ink in its box: 10 pixels to the millimetre at 254 dpi."""
    scene = drawing_of(plan(EXERCISE)).scene
    for word in (mark for mark in scene.walk() if isinstance(mark, Text)):
        box = word.bbox()
        edges = [round(10 * edge) for edge in (box.left, box.top, box.right, box.bottom)]
        low, high = without_fonts.crop(tuple(edges)).getextrema()  # type: ignore[arg-type]
        # Black on white, or white on black for start and finish: both must be there.
        assert high - low > 90, word.text


def test_it_is_the_same_picture_as_with_fonts(without_fonts: Image.Image, tmp_path: Path) -> None:
    draw(plan(EXERCISE), tmp_path / "here.png", dpi=254)
    assert Image.open(tmp_path / "here.png").convert("L").tobytes() == without_fonts.tobytes()


def test_every_face_of_a_pdf_is_embedded() -> None:
    data = pdf.scene_bytes(drawing_of(plan(EXERCISE)).scene)
    fonts = pypdf.PdfReader(io.BytesIO(data)).pages[0]["/Resources"]["/Font"]  # type: ignore[index]
    for font in fonts.values():
        described = font.get_object()
        assert described["/BaseFont"].partition("+")[2] in FACE_NAMES.values()
        assert "/FontFile2" in described["/FontDescriptor"].get_object()


@pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine: apt install chromium")
def test_its_size_in_a_browser(tmp_path: Path) -> None:
    """30 m of rail in a screenshot, to 0.2 mm. CSS: 96 pixels to the inch, here four times."""
    scene = drawing_of(plan(EXERCISE)).scene
    file, shot = tmp_path / "drawing.svg", tmp_path / "shot.png"
    draw(plan(EXERCISE), file)
    done = subprocess.run(
        [str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         "--force-device-scale-factor=4", "--window-size=1200,900", f"--screenshot={shot}",
         file.as_uri()],
        capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    if done.returncode or not shot.exists():
        pytest.skip(f"Chromium cannot run here: {done.stderr.decode(errors='replace')[-200:]}")
    per_mm = 4 * 96 / 25.4
    rail = max(
        (mark for mark in scene.walk() if isinstance(mark, Stroke)
         and len(mark.points) == 2 and mark.points[0][0] == mark.points[1][0]),
        key=lambda mark: abs(mark.points[0][1] - mark.points[1][1]),
    )  # fmt: skip
    (x, y0), (_, y1) = sorted(rail.points, key=lambda point: point[1])
    picture = Image.open(shot).convert("L")
    # The rail ends round, half its width of 0.7 mm beyond its corners. Below the arena the same
    # column of pixels meets the ride in words.
    rows = range(round((y0 - 3) * per_mm), round((y1 + 3) * per_mm))
    dark = [y for y in rows if picture.getpixel((round(x * per_mm), y)) < 128]  # type: ignore[operator]
    assert (dark[-1] + 1 - dark[0]) / per_mm == pytest.approx(y1 - y0 + 0.7, abs=0.2)
    assert dark[0] / per_mm == pytest.approx(y0 - 0.35, abs=0.2)
