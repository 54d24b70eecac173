"""The page of marks in docs is that of the program, and shows every kind of fence.

To renew it: python -m tests.accept
"""

import re
from pathlib import Path

from symbols import symbols_svg

from diagram.fences import kinds

PAGE = Path(__file__).parents[2] / "docs" / "symbols.svg"
ALIKE = {"placing pole"}
"""It looks like a ground pole."""


def _without_type(data: bytes) -> str:
    """The type carried along depends on the version of the font library, the marks do not."""
    return re.sub(r"<style.*?</style>", "", data.decode("utf-8"), flags=re.DOTALL)


def test_it_is_fresh() -> None:
    assert _without_type(PAGE.read_bytes()) == _without_type(symbols_svg())


def test_it_shows_every_kind() -> None:
    seen = [kind for kind in kinds().values() if not kind.composed and kind.name not in ALIKE]
    text = PAGE.read_text(encoding="utf-8")
    for kind in seen:
        assert kind.seen
        assert f"symbol-{kind.name.replace(' ', '-')}" in text
