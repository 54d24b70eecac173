"""Every shape that ``tapeline new`` offers is written, read back, placed and ridden: no stop."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from diagram.cli import main
from diagram.cli.new_shapes import BEGINNINGS
from diagram.pipeline import plan


@pytest.mark.parametrize("shape", sorted(BEGINNINGS))
def test_a_shape_is_written_and_lies(shape: str, tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    words = ["new", str(file), "--title", "One", "--purpose", "Said.", "--arena", "90 x 70 m",
             "--horses", "horse", "--level", "2'", "--strides", "5", "--shape", shape]  # fmt: skip
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    made = plan(file)
    assert made.layout.outcome.startswith("placed")
    assert "at:" not in file.read_text(encoding="utf-8").split("fences:")[1]
    assert not [f.message for f in made.findings if str(f.severity) == "stop"]
