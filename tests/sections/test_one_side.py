"""The card on one side: all of it, no smaller, and refused where it does not fit."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from card_trials import pages_of
from click.testing import CliRunner
from ink import letters

from diagram.cli import main
from diagram.drawing import SHEETS
from diagram.pipeline import plan
from diagram.scene import Text
from diagram.sections.cautions import EVERY_TIME
from diagram.style import LOOKED_UP
from diagram.writers.card import card_bytes, card_sides

ROOT = Path(__file__).parents[2]
SMALL = (ROOT / "exercises" / "grid-from-trot-on-the-centre-line.yaml",
         ROOT / "exercises" / "trot-poles-and-a-halt.yaml")  # fmt: skip
CROWDED = ROOT / "exercises" / "clover-of-five.yaml"


@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize("file", SMALL, ids=lambda file: file.stem)
def test_no_word_lies_on_another_and_none_is_small(file: Path, paper: str) -> None:
    [side] = card_sides(plan(file), paper, sides=1)
    sheet = SHEETS[paper]
    assert sorted((side.width, side.height)) == pytest.approx(
        sorted((sheet.width * sheet.factor, sheet.height * sheet.factor))
    )
    words = [mark for mark in side.walk() if isinstance(mark, Text) and mark.text.strip()]
    shapes = [(letters(mark), mark.text) for mark in words]
    on = [(a, b) for (one, a), (two, b) in itertools.combinations(shapes, 2)
          if one.intersection(two).area > 0.05]  # fmt: skip
    assert on == []
    assert min(mark.size for mark in words) >= (LOOKED_UP - 1e-9) * sheet.factor
    edge = 8.0
    for shape, text in shapes:
        left, top, right, bottom = shape.bounds
        assert edge <= left, text
        assert right <= side.width - edge, text
        assert 0.5 * edge <= top, text
        assert bottom <= side.height - edge / 2, text


def test_all_that_two_sides_say_is_said_on_one() -> None:
    made = plan(SMALL[1])
    [one] = pages_of(card_bytes(made, sides=1))
    both = " ".join(pages_of(card_bytes(made)))
    said = made.definition
    texts = [*said.notes, *said.if_it_goes_wrong, *said.warm_up, *said.easier, *said.harder,
             *EVERY_TIME, said.purpose, said.title, "START", "FINISH"]  # fmt: skip
    for text in texts:
        assert " ".join(text.split()[:3]) in both
        assert " ".join(text.split()[:3]) in one


def test_what_needs_two_sides_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "card.pdf"
    done = CliRunner().invoke(main, ["card", str(CROWDED), "--sides", "1", "--to", str(target)])
    assert done.exit_code == 2
    assert "does not fit on one side of that paper: print it on two" in done.output
    assert not target.exists()
