"""What stands in a folder is written over only by the same thing of the same exercise."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from diagram.cli import main

TEXT = """\
tapeline: 1
title: {title}
purpose: Straight.
level: 2'6"
arena: 30 x 60 m
fences:
  birch: {{kind: vertical, at: [30 m, 15 m], facing: 0°}}
ride:
  - start: canter, left lead
  - jump: birch
  - finish: straight on, walk
"""


@pytest.fixture
def yards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    for yard in ("one", "two"):
        (tmp_path / yard).mkdir()
        (tmp_path / yard / "same.yaml").write_text(TEXT.format(title=yard), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*said: str) -> Result:
    return CliRunner().invoke(main, list(said))


def test_two_exercises_of_one_name_never_write_one_file(yards: Path) -> None:
    assert run("card", "one/same.yaml").exit_code == 0
    first = (yards / "output/same.pdf").read_bytes()
    second = run("card", "two/same.yaml")
    assert second.exit_code == 2
    assert "is the card of ../one/same.yaml" in second.output
    assert (yards / "output/same.pdf").read_bytes() == first
    assert run("card", "two/same.yaml", "--to", "output/other.pdf").exit_code == 0
    assert run("card", "one/same.yaml").exit_code == 0


def test_card_leaf_and_drawings_of_one_exercise_never_write_one_file(yards: Path) -> None:
    for command in (["draw", "--as", "pdf"], ["card"], ["set-out"], ["draw"]):
        assert run(*command, "one/same.yaml").exit_code == 0
    assert len(list((yards / "output").glob("same*"))) == 4


@pytest.mark.parametrize("when", ["before", "after"])
def test_what_the_user_wrote_there_stays(yards: Path, when: str) -> None:
    target = yards / "output/same.svg"
    if when == "after":
        assert run("draw", "one/same.yaml").exit_code == 0
    target.parent.mkdir(exist_ok=True)
    target.write_text("mine", encoding="utf-8")
    refused = run("draw", "one/same.yaml")
    assert refused.exit_code == 2
    assert "not written" in refused.output
    assert target.read_text() == "mine"
    assert run("draw", "one/same.yaml", "--to", str(target)).exit_code == 0


def test_a_link_is_not_followed(yards: Path) -> None:
    (yards / "output").mkdir()
    mine = yards / "mine.svg"
    (yards / "output/same.svg").symlink_to(mine)
    assert run("draw", "one/same.yaml").exit_code == 2
    assert not mine.exists()


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("library.yaml", "tapeline library: 1\ntitle: Ours\n", "tapeline library check"),
        ("evening.yaml", "tapeline lesson: 1\n", "tapeline lesson"),
        ("arenas.yaml", "ring: {size: 30 x 60 m}\n", "an exercise that names"),
    ],
)
def test_a_file_of_another_kind_is_called_what_it_is(
    yards: Path, name: str, text: str, said: str
) -> None:
    (yards / name).write_text(text, encoding="utf-8")
    for command in ("check", "card"):
        result = run(command, name)
        assert result.exit_code == 2
        assert said in result.output
        assert result.output.count("error[") == 1
