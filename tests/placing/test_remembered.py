"""What is remembered of a layout is the layout, or nothing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from diagram import plan
from diagram.placing import remembered

FREE = """\
tapeline: 1
title: Found again
level: 2'6"
purpose: One canter.
arena: 30 x 60 m
fences:
  birch: {kind: vertical}
  hazel: {kind: vertical}
ride:
  - start: canter, left lead
  - jump: birch
  - line: 5 strides
  - jump: hazel
  - finish: straight on, walk
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(remembered.FOLDER, str(tmp_path / "kept"))
    (tmp_path / "free.yaml").write_text(FREE, encoding="utf-8")
    return tmp_path


def places(folder: Path) -> list[tuple[float, float]]:
    return [fence.pose.point for fence in plan(folder / "free.yaml").fences]


def kept(folder: Path) -> list[Path]:
    return sorted((folder / "kept").glob("*.json"))


def test_a_layout_is_remembered_as_it_was(folder: Path) -> None:
    first = places(folder)
    assert len(kept(folder)) == 1
    assert places(folder) == first


@pytest.mark.parametrize(
    ("said", "said_instead"),
    [
        ("start: canter, left lead", "start: canter, right lead"),
        ("start: canter, left lead", "start: canter, left lead, along left side"),
        ("arena: 30 x 60 m", "arena: {size: 30 x 60 m, gate: {side: left, at: 6 m}}"),
        ("finish: straight on, walk", "finish: circle right, walk"),
    ],
)
def test_what_decides_is_asked_anew(folder: Path, said: str, said_instead: str) -> None:
    places(folder)
    (folder / "free.yaml").write_text(FREE.replace(said, said_instead), encoding="utf-8")
    places(folder)
    assert len(kept(folder)) == 2


def test_words_of_a_lesson_ask_for_nothing_anew(folder: Path) -> None:
    places(folder)
    told = FREE.replace("- jump: hazel", "- jump: hazel\n    purpose: Land straight.")
    (folder / "free.yaml").write_text(told.replace("One canter", "Two"), encoding="utf-8")
    places(folder)
    assert len(kept(folder)) == 1


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text.replace("1", "2"),
        lambda text: text.replace(".", ".1"),
        lambda text: text[: len(text) // 2],
        lambda text: text.split("\n")[1],
        lambda text: text + " ",
        lambda text: "0" * 64 + "\n" + text.split("\n")[1],
        lambda _: _signed("[" * 9000 + "]" * 9000),
        lambda _: _signed("[1e999, NaN, Infinity]"),
        lambda _: _signed("[" + "9" * 5000 + "]"),
        lambda _: _signed('{"a": 1}'),
        lambda _: "",
    ],
)  # fmt: skip
def test_a_damaged_one_is_worked_out_again(folder: Path, damage: object) -> None:
    first = places(folder)
    (file,) = kept(folder)
    whole = file.read_text(encoding="ascii")
    file.write_text(damage(whole), encoding="ascii")  # type: ignore[operator]
    assert places(folder) == first
    assert file.read_text(encoding="ascii") == whole


def _signed(text: str) -> str:
    """Figures that no run of ours wrote, under a checksum that fits them."""
    return f"{remembered._checksum(text)}\n{text}"


def test_the_oldest_go_first(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(remembered, "MOST", 3)
    places(folder)
    (own,) = kept(folder)
    for age in range(1, 6):
        other = own.with_name(f"{age}.json")
        other.write_text("", encoding="ascii")
        os.utime(other, (1000.0 + age, 1000.0 + age))
    own.unlink()
    places(folder)
    assert {file.name for file in kept(folder)} == {"4.json", "5.json", own.name}


def test_what_a_killed_run_left_is_cleared(folder: Path) -> None:
    places(folder)
    (own,) = kept(folder)
    old, new = (own.with_name(f"{name}.7{remembered.UNFINISHED}") for name in ("old", "new"))
    for file in (old, new):
        file.write_text("[", encoding="ascii")
    os.utime(old, (1000.0, 1000.0))
    own.unlink()
    places(folder)
    assert (old.exists(), new.exists()) == (False, True)
