"""The arena on the printed card measures what the stated scale says."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from diagram.pipeline import card, draw, drawing_of, plan

ROOT = Path(__file__).parents[2]
EXERCISE = ROOT / "exercises" / "straight-out-and-home-on-an-angle.yaml"
NEEDS_POPPLER = pytest.mark.skipif(
    shutil.which("pdftoppm") is None, reason="needs pdftoppm (poppler-utils)"
)
PIXELS_PER_MM = 10
"""At 254 dpi, exactly."""


def _raster(pdf: Path, page: int = 1) -> Image.Image:
    stem = pdf.with_suffix("")
    subprocess.run(
        ["pdftoppm", "-r", "254", "-gray", "-f", str(page), "-l", str(page), "-singlefile",
         "-png", str(pdf), str(stem)],
        check=True,
    )  # fmt: skip
    return Image.open(stem.with_suffix(".png"))


def _longest_dark_run(image: Image.Image) -> int:
    """Pixels of the longest upright dark line: the far short side of the arena, without gate."""
    best = 0
    turned = image.convert("L").transpose(Image.Transpose.ROTATE_90)
    width, height = turned.size
    pixels = turned.tobytes()
    for y in range(height):
        row = pixels[y * width : (y + 1) * width]
        dark = bytes(1 if value < 128 else 0 for value in row)
        for run in re.finditer(rb"\x01+", dark):
            # The raster's last row and column may lie beyond the paper and stay black.
            if run.start() > 0 and run.end() < width:
                best = max(best, len(run[0]))
    return best


@NEEDS_POPPLER
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_rail_on_the_card(paper: str, tmp_path: Path) -> None:
    """A rail of 30 m at the stated scale, to 0.1 mm.

    A raster at 10 pixels to the millimetre can be a pixel off at each end: 0.2 mm over 120 mm,
    which is 0.02 mm for 10 m.
    """
    exercise = plan(EXERCISE)
    file = tmp_path / f"card-{paper}.pdf"
    card(exercise, file, paper=paper)
    text = subprocess.run(
        ["pdftotext", "-f", "1", "-l", "1", str(file), "-"], check=True, capture_output=True,
        text=True,
    ).stdout  # fmt: skip
    stated = re.search(r"1:(\d+)\s+10 m", text)
    assert stated
    expected_mm = exercise.arena.size[1] * 1000 / int(stated[1])
    measured_mm = _longest_dark_run(_raster(file)) / PIXELS_PER_MM
    # The pens of the long sides stick out by half their width (0.7 mm) at both ends.
    assert measured_mm == pytest.approx(expected_mm + 0.7, abs=0.2)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_ten_metres_of_the_scale_bar(paper: str, tmp_path: Path) -> None:
    """In the uncompressed numbers of the scene, 10 m is 10 000 mm over the denominator."""
    exercise = plan(EXERCISE)
    drawn = drawing_of(exercise, paper)
    begin = drawn.frame.at((0.0, 0.0))
    end = drawn.frame.at((10.0, 0.0))
    assert end[0] - begin[0] == pytest.approx(10_000 / drawn.frame.denominator, abs=1e-9)
    target = tmp_path / "drawing.svg"
    draw(exercise, target, paper=paper)
    assert f"1:{drawn.frame.denominator:g} " in target.read_text(encoding="utf-8")
