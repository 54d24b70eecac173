"""PNG pictures: limits, and the message on a machine without cairo."""

from __future__ import annotations

import builtins
import sys
from collections.abc import Callable

import pytest

from diagram.scene import Scene
from diagram.writers import WriterUnavailable, png

EMPTY = Scene(100, 50, ())


def test_a_picture_too_large_for_any_file_is_refused_before_it_is_painted() -> None:
    with pytest.raises(ValueError, match="at most 32767 pixels a side"):
        png.scene_bytes(EMPTY, dpi=10_000)


@pytest.mark.parametrize("problem", [ImportError("no module"), OSError("no library called cairo")])
def test_without_cairo_it_says_what_to_install(
    problem: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    real: Callable[..., object] = builtins.__import__

    def refuse(name: str, *rest: object) -> object:
        if name == "cairosvg":
            raise problem
        return real(name, *rest)

    monkeypatch.delitem(sys.modules, "cairosvg", raising=False)
    monkeypatch.setattr(builtins, "__import__", refuse)
    with pytest.raises(WriterUnavailable, match="apt install libcairo2") as caught:
        png.scene_bytes(EMPTY)
    assert caught.value.__cause__ is problem


def test_a_picture_that_would_fill_the_memory_is_refused() -> None:
    """A3 at 600 dpi would be 70 million pixels of four bytes; at the most it says, it fits."""
    with pytest.raises(ValueError, match="at most 454 dpi"):
        png.scene_bytes(Scene(420, 297, ()), dpi=600)
    assert 420 * 297 * (454 / 25.4) ** 2 <= png.LARGEST_AREA < 420 * 297 * (455 / 25.4) ** 2
