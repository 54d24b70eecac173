"""Cards on every paper, read back from the PDF: pages, type, edges, ink, every script."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
from pathlib import Path

import pdfplumber
import pytest
from card_trials import TRIAL, pages_of, reader, trial
from made_once import planned
from PIL import Image
from samples import SAMPLES, each

from diagram.drawing import SHEETS
from diagram.writers.card import card_bytes

ROOT = Path(__file__).parents[2]
MM = 72 / 25.4
SAFE_MM = 8.0
"""What printers reach."""
SMALLEST_PT = 8.5


@pytest.mark.parametrize(
    ("stem", "paper"),
    [
        *each(1, ((file.stem, paper) for file in SAMPLES for paper in ("A4", "Letter"))),
        # The same, grown.
        *each(3, ((file.stem, paper) for paper in ("A3", "Tabloid") for file in SAMPLES)),
    ],
)
def test_two_sides_with_nothing_small_and_nothing_at_the_edge(stem: str, paper: str) -> None:
    """A size is that which is set, since the box of a turned letter lies."""
    factor = SHEETS[paper].factor
    data = card_bytes(planned(stem), paper=paper)
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            edge = SAFE_MM * MM - 0.1
            for letter in page.chars:
                assert edge <= letter["x0"] <= letter["x1"] <= page.width - edge
                assert 0.5 * edge <= letter["top"] <= letter["bottom"] <= page.height - edge / 2
    for page in reader(data).pages:
        commands = page.get_contents().get_data().decode("latin-1")
        # Turned text turns its axes and never scales them.
        turns = re.findall(r"([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+) [-\d.]+ [-\d.]+ cm", commands)
        assert {round(math.hypot(float(a), float(b)), 3) for a, b, _, _ in turns} == {1.0}
        sizes = [float(size) for size in re.findall(r"/F\d+(?:\+\d+)? ([\d.]+) Tf", commands)]
        assert min(sizes) >= SMALLEST_PT * factor - 0.01


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs poppler-utils")
@pytest.mark.parametrize("name", ["every-fence-twice", "clover-of-five"])
def test_no_side_is_black_with_ink(name: str, tmp_path: Path) -> None:
    """Less than fifteen parts in a hundred: more reads as grey from where a rider stands."""
    file = tmp_path / "card.pdf"
    file.write_bytes(card_bytes(planned(name)))
    command = ["pdftoppm", "-r", "72", "-gray", "-png", str(file), str(tmp_path / "side")]
    subprocess.run(command, check=True)
    for side in sorted(tmp_path.glob("side-*.png")):
        values = Image.open(side).convert("L").tobytes()
        assert sum(255 - value for value in values) / 255 / len(values) < 0.15


TITLES = {
    "Polish": "Zażółć gęślą jaźń: łuk w lewo, oś ujeżdżalni",
    "Greek": "Καμπύλη αριστερά και παύση στη μεγάλη πλευρά",
    "Cyrillic": "Длинная линия, поворот налево и остановка",
}


@pytest.mark.parametrize("language", TITLES)
def test_titles_of_other_scripts_are_set_and_can_be_searched(language: str, tmp_path: Path) -> None:
    title = TITLES[language]
    text = TRIAL.replace("title: Two lines and a wall", f'title: "{title}"')
    text = text.replace("phase: homeward", f'phase: "{title[:20]}"')
    first, *_ = pages_of(card_bytes(trial(tmp_path, text=text)))
    assert title in first
    assert "☐" not in first


def test_a_long_purpose_wraps(tmp_path: Path) -> None:
    purpose = " ".join(f"word{n}" for n in range(60))
    text = TRIAL.replace("One canter, kept through a forward line.", purpose)
    pages = pages_of(card_bytes(trial(tmp_path, text=text)))
    assert pages[0].count("word59") == 1
    assert "word0 word1 word2" in pages[0]
