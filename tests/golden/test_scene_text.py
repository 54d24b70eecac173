"""A golden can be read back and looked at: the page of before and after shows what it says."""

from __future__ import annotations

from pathlib import Path

import pytest
from samples import SAMPLES
from scene_dump import dump
from scene_text import before_and_after, read_scene

from diagram.pipeline import drawing_of, plan

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("file", SAMPLES, ids=lambda p: p.stem)
def test_read_back_it_is_the_same_text(file: Path) -> None:
    text = dump(drawing_of(plan(file)).scene)
    assert dump(read_scene(text)) == text


def test_the_page_shows_both(tmp_path: Path) -> None:
    text = "It shows a word.\n\n" + dump(drawing_of(plan(SAMPLES[0])).scene)
    page = before_and_after(tmp_path, "a.scene", "", text.replace("START", "BEGIN"))
    shown = page.read_text(encoding="utf-8")
    assert "There was none." in shown
    assert "BEGIN" in shown
    assert shown.count("<svg") == 1


def test_what_is_no_scene_is_refused() -> None:
    with pytest.raises(ValueError, match="no scene"):
        read_scene("a list of fences")
