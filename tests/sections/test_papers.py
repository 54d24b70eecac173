"""Cards on every paper: nothing cut, no heading alone at the foot of a page, every script set."""

from __future__ import annotations

import io
from pathlib import Path

import pdfplumber
import pytest
from card_trials import TRIAL, pages_of, trial

from diagram.pipeline import plan
from diagram.sections.page import FOOT_HEIGHT, MARGIN, PAPERS
from diagram.writers.card import card_bytes

ROOT = Path(__file__).parents[2]
EXERCISES = sorted(p for p in (ROOT / "exercises").glob("*.yaml") if p.name != "arenas.yaml")
HEADINGS = ("Element by element", "Fence by fence", "Before, after and instead", "Every time",
            "What the checks found")  # fmt: skip
MM = 72 / 25.4


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("file", EXERCISES, ids=lambda p: p.stem)
def test_it_takes_few_pages_and_all_of_it_is_on_them(file: Path, paper: str) -> None:
    """Referee: pdfplumber, which tells where each letter of the file stands."""
    with pdfplumber.open(io.BytesIO(card_bytes(plan(file), paper=paper))) as pdf:
        # The longest of them, with all that there is to say of the ride, take a third page.
        assert len(pdf.pages) <= (3 if paper in ("A4", "Letter") else 2)
        for page in pdf.pages:
            assert min(letter["size"] for letter in page.chars) >= 6.99
            edge = MARGIN * MM - 0.1
            for letter in page.chars:
                assert edge <= letter["x0"] <= letter["x1"] <= page.width - edge
                assert 0 <= letter["top"] <= letter["bottom"] <= page.height - edge + 2
            _no_heading_stands_alone(page)


def _no_heading_stands_alone(page: pdfplumber.page.Page) -> None:
    foot = page.height - (MARGIN + FOOT_HEIGHT) * MM
    lines = [line for line in page.extract_text_lines() if line["bottom"] < foot + 1]
    assert lines[-1]["text"] not in HEADINGS


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
    purpose = " ".join(f"word{n}" for n in range(150))
    text = TRIAL.replace("One canter, kept through a forward line.", purpose)
    pages = pages_of(card_bytes(trial(tmp_path, text=text)))
    assert " ".join(pages).count("word149") == 1
    assert "word0 word1 word2" in pages[0]
