"""Words read from right to left begin at the right edge of their column, and hang there."""

from __future__ import annotations

import pytest

from diagram.scene import Text
from diagram.typesetting import paragraph, runs, runs_leftward

HEBREW = "שלום לכולם ועוד כמה מילים לשורה שנייה"
MEASURE, SIZE, HANG = 40.0, 3.7, 3.2


@pytest.mark.parametrize(
    ("text", "leftward"),
    [(HEBREW, True), ("مرحبا", True), ("5 · שלום", True), ("Five, שלום", False), ("5", False),
     ("Пять", False)],
)  # fmt: skip
def test_the_first_letter_with_a_direction_decides(text: str, leftward: bool) -> None:
    assert runs_leftward(text) is leftward


def test_lines_end_where_the_column_begins_for_others() -> None:
    block = paragraph(runs(HEBREW), MEASURE, SIZE, bullet="•", hang=HANG)
    bullet, *lines = [mark for mark in block.items if isinstance(mark, Text)]
    assert len(lines) > 1
    assert bullet.at[0] + bullet.width == pytest.approx(MEASURE)
    for line in lines:
        assert line.at[0] + line.width == pytest.approx(MEASURE - HANG)


def test_others_begin_at_the_left() -> None:
    bullet, line = paragraph(runs("Leg on"), MEASURE, SIZE, bullet="•", hang=HANG).items
    assert isinstance(bullet, Text)
    assert isinstance(line, Text)
    assert (bullet.at[0], line.at[0]) == (0.0, HANG)
