"""Every file with a mistake in it, and the whole message that its trainer reads.

Run with TAPELINE_ACCEPT=1 to write the messages down as they are now.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from diagram.diagnostics import RejectedError
from diagram.pipeline import plan

WRONG = Path(__file__).parent / "wrong"
FILES = sorted(WRONG.rglob("[0-9][0-9]-*.yaml"))


def accepting() -> bool:
    return os.environ.get("TAPELINE_ACCEPT") == "1"


def message_for(file: Path) -> str:
    with pytest.raises(RejectedError) as caught:
        plan(file)
    return str(caught.value).replace(f"{file.parent}{os.sep}", "") + "\n"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_whole_message_is_as_expected(file: Path) -> None:
    found = message_for(file)
    expected = file.with_suffix(".txt")
    if accepting():
        expected.write_text(found, encoding="utf-8")
    assert found == expected.read_text(encoding="utf-8")


def test_accepting_is_off_in_ci() -> None:
    assert not (os.environ.get("CI") and os.environ.get("TAPELINE_ACCEPT"))


@pytest.mark.skipif(accepting(), reason="the messages are just being written")
def test_every_message_belongs_to_a_file() -> None:
    messages = {text.with_suffix("") for text in WRONG.rglob("*.txt")}
    assert messages == {file.with_suffix("") for file in FILES}
    assert len(FILES) >= 32


def test_every_message_points_at_a_place_and_names_a_rule() -> None:
    for text in WRONG.rglob("*.txt"):
        for block in text.read_text(encoding="utf-8").split("\n\n"):
            head = block.splitlines()[0]
            assert ".yaml:" in head, text.name
            assert "error[" in head, text.name


def test_the_command_line_ends_with_2_and_shows_no_traceback() -> None:
    file = next(f for f in FILES if f.stem.endswith("unknown-kind"))
    command = [sys.executable, "-c", "from diagram.cli import main; main()", "check", str(file)]
    done = subprocess.run(command, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 2
    assert "Traceback" not in done.stdout + done.stderr
    first = file.with_suffix(".txt").read_text(encoding="utf-8").splitlines()[0]
    assert first in done.stderr
