"""The page of marks in docs is that of the program, and shows every kind of fence.

To renew it: python -c "from diagram.pipeline import symbols_svg; ..." (see DEVELOPERS.md).
"""

import re
from pathlib import Path

from diagram.drawing.symbols import SEEN
from diagram.fences import kinds
from diagram.pipeline import symbols_svg

PAGE = Path(__file__).parents[2] / "docs" / "symbols.svg"
ALIKE = {"placing pole", "combination"}
"""A placing pole looks like a ground pole; a combination is drawn as its fences."""


def _without_type(data: bytes) -> str:
    """The type carried along depends on the version of the font library, the marks do not."""
    return re.sub(r"<style.*?</style>", "", data.decode("utf-8"), flags=re.DOTALL)


def test_it_is_fresh() -> None:
    assert _without_type(PAGE.read_bytes()) == _without_type(symbols_svg())


def test_it_shows_every_kind() -> None:
    assert set(kinds()) - ALIKE == set(SEEN)
    text = PAGE.read_text(encoding="utf-8")
    for name in SEEN:
        assert f"symbol-{name.replace(' ', '-')}" in text
