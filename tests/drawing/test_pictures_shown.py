"""The pictures in the README are those that the program makes now."""

import re

import pytest

from tests.accept import ROOT, pictures


@pytest.mark.parametrize("name", ["card.svg", "leaf.svg"])
def test_it_is_fresh(name: str) -> None:
    """But for the type carried along, which depends on the version of the font library."""
    kept = (ROOT / "docs" / name).read_text(encoding="utf-8")
    made = pictures()[name].decode("utf-8")
    assert _marks(kept) == _marks(made)
    assert f"docs/{name}" in (ROOT / "README.md").read_text(encoding="utf-8")


def _marks(text: str) -> str:
    return re.sub(r"<style.*?</style>", "", text, flags=re.DOTALL)
