"""What is remembered of a layout is the layout, or nothing."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import pytest
from test_narrow import SCHOOL

from diagram import plan
from diagram.placing import finding, remembered

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
    ("arena", "outcome"),
    # In the school the turn is ridden tighter than horses want; in half of it nothing fits.
    [("20 x 60 m", "placed"), ("20 x 40 m", "does not fit this arena")],
)
def test_no_answer_is_looked_for_twice(
    folder: Path, monkeypatch: pytest.MonkeyPatch, arena: str, outcome: str
) -> None:
    (folder / "free.yaml").write_text(SCHOOL.replace("20 x 60 m", arena), encoding="utf-8")
    first = plan(folder / "free.yaml")
    assert first.layout.outcome.startswith(outcome)

    def searched(*_: object) -> None:
        raise AssertionError("looked for again")

    monkeypatch.setattr(finding._Seen, "best", searched)
    again = plan(folder / "free.yaml")
    assert (again.layout.outcome, again.layout.poses) == (first.layout.outcome, first.layout.poses)


@dataclass(frozen=True)
class _Signed:
    """Figures that no run of ours wrote, under a checksum that fits them."""

    text: str

    def under(self, file: Path) -> str:
        return f"{remembered._checksum(file, self.text)}\n{self.text}"


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text.replace("1", "2"),
        lambda text: text.replace(".", ".1"),
        lambda text: text[: len(text) // 2],
        lambda text: text.split("\n")[1],
        lambda text: text + " ",
        lambda text: "0" * 64 + "\n" + text.split("\n")[1],
        _Signed("[" * 9000 + "]" * 9000),
        _Signed("[1e999, NaN, Infinity]"),
        _Signed("[" + "9" * 5000 + "]"),
        _Signed('{"a": 1}'),
        _Signed('{"unknowns": [1.0], "fitted": true}'),
        _Signed('{"unknowns": "none", "fitted": false}'),
        lambda _: "",
    ],
)  # fmt: skip
def test_a_damaged_one_is_worked_out_again(folder: Path, damage: object) -> None:
    first = places(folder)
    (file,) = kept(folder)
    whole = file.read_text(encoding="ascii")
    damaged = damage.under(file) if isinstance(damage, _Signed) else damage(whole)  # type: ignore[operator]
    file.write_text(damaged, encoding="ascii")
    assert places(folder) == first
    assert file.read_text(encoding="ascii") == whole


def test_each_changed_digit_is_seen(folder: Path) -> None:
    places(folder)
    (file,) = kept(folder)
    whole = file.read_text(encoding="ascii")
    checksum, text = whole.split("\n")
    assert remembered._checksum(file, text) == checksum
    for n, letter in enumerate(text):
        if letter.isdigit():
            other = text[:n] + str((int(letter) + 1) % 10) + text[n + 1 :]
            assert remembered._checksum(file, other) != checksum


def test_what_answers_another_question_is_not_taken(folder: Path) -> None:
    first = places(folder)
    (file,) = kept(folder)
    (folder / "free.yaml").write_text(FREE.replace("30 x 60", "31 x 60"), encoding="utf-8")
    second = places(folder)
    (other,) = set(kept(folder)) - {file}
    other.write_bytes(file.read_bytes())
    assert places(folder) == second != first


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
