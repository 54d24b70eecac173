"""Writing a file: all of it or nothing, and nothing left lying beside it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagram.writers.files import legal_text, write_bytes


def names(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir()]


def test_a_file_is_written_with_its_folders(tmp_path: Path) -> None:
    path = tmp_path / "winter" / "grids" / "card.pdf"
    write_bytes(path, b"page")
    assert path.read_bytes() == b"page"
    assert names(path.parent) == ["card.pdf"]


def test_an_old_file_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    path.write_bytes(b"a longer page")
    write_bytes(path, b"page")
    assert path.read_bytes() == b"page"
    assert names(tmp_path) == ["card.pdf"]


def test_a_failure_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "card.pdf"
    path.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(KeyboardInterrupt):
        write_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["card.pdf"]


def test_a_name_may_be_as_long_as_the_file_system_allows(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 251 + ".pdf")
    write_bytes(path, b"page")
    assert path.read_bytes() == b"page"


def test_a_link_is_followed(tmp_path: Path) -> None:
    path, link = tmp_path / "real.pdf", tmp_path / "link.pdf"
    path.write_bytes(b"old")
    link.symlink_to(path)
    write_bytes(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"


def test_a_device_is_written_into_and_not_replaced() -> None:
    write_bytes(Path(os.devnull), b"page")
    assert not Path(os.devnull).is_file()


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(IsADirectoryError):
        write_bytes(tmp_path, b"page")


def test_text_for_a_file_keeps_all_that_may_stand_there() -> None:
    assert legal_text("Zażółć → 🐎 שלום\n\t") == "Zażółć → 🐎 שלום\n\t"
    assert legal_text("a\x00b\x1bc\x85d\ud800e\ufffff") == "a\ufffdb\ufffdc\ufffdd\ufffde\ufffdf"
