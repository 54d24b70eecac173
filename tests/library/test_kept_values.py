"""What is kept of a library is what was put there, or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram.library.kept import FOLDER, Kept

VALUE = {"title": "Out and round", "height": 0.76, "minutes": 25, "needs": ["oxer", "pole"]}


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(FOLDER, str(tmp_path))
    kept = Kept("entries")
    kept.put("one", VALUE)
    kept.put("other", {**VALUE, "minutes": 40})
    kept.save()
    return tmp_path / "library" / "entries.kept"


@pytest.mark.usefixtures("file")
def test_it_comes_back() -> None:
    kept = Kept("entries")
    assert kept.get("one") == VALUE
    assert kept.get("nobody") is None
    kept.put("third", [])
    kept.save()
    assert Kept("entries").get("one") == VALUE
    # What was neither asked for nor put goes.
    assert Kept("entries").get("other") is None


def test_no_changed_byte_is_believed(file: Path) -> None:
    whole = file.read_bytes()
    for n, byte in enumerate(whole):
        file.write_bytes(whole[:n] + bytes([byte ^ 1]) + whole[n + 1 :])
        assert Kept("entries").get("one") in (VALUE, None)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[" * 100_000,
        '{"one": {"height": 0.86}}',
        'one {"height": 0.86}\n',
        "one 0 {}\n",
        "one\n",
        "one  \n\n \n",
        f"one {'0' * 64} 9e999\n",
    ],
)
def test_what_is_no_memory_of_ours_is_none(file: Path, text: str) -> None:
    file.write_text(text, encoding="utf-8")
    assert Kept("entries").get("one") is None


def test_values_under_other_keys_are_none(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    swapped = text.replace("one ", "? ").replace("other ", "one ").replace("? ", "other ")
    assert swapped != text
    file.write_text(swapped, encoding="utf-8")
    assert Kept("entries").get("one") is None
