"""New exercises: in a sentence, as a shape, like another one."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner, Result

from diagram.cli import main
from diagram.pipeline import plan

ROOT = Path(__file__).parents[2]


def run(*args: object) -> Result:
    return CliRunner().invoke(main, ["new", *map(str, args)])


def test_in_a_sentence(tmp_path: Path) -> None:
    file = tmp_path / "my-line.yaml"
    done = run(file, "--says", "plank, 3 strides, cross-rail, bend right 6, vertical")
    assert done.exit_code == 0
    assert "plank: alder, a plank" in done.stdout
    assert plan(file).definition.title == "My line"
    assert run(file, "--says", "plank").exit_code == 2


def test_as_a_shape(tmp_path: Path) -> None:
    file = tmp_path / "eight.yaml"
    assert run(file, "--shape", "figure of eight", "--arena", "30 x 60 m").exit_code == 0
    assert len(plan(file).fences) == 2
    assert run(tmp_path / "x.yaml", "--shape", "star of five").exit_code == 2
    assert run(tmp_path / "x.yaml", "--shape", "line of two", "--says", "plank").exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["eight.yaml"]


def test_like_another_with_its_comments(tmp_path: Path) -> None:
    old, file = tmp_path / "old.yaml", tmp_path / "new.yaml"
    assert run(old, "--says", "vertical, 4 strides, oxer").exit_code == 0
    old.write_text(old.read_text().replace("level:", "# of all fences\nlevel:"))
    assert run(file, "--like", old, "--title", "Other", "--level", "2'3\"").exit_code == 0
    changed = {"title: Old": "title: Other", "level: 2'": "level: 2'3\""}
    lines = [changed.get(line, line) for line in old.read_text().splitlines()]
    assert file.read_text().splitlines() == lines
