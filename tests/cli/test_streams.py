"""Odd outputs, odd names and odd files end in one line and exit code 2, never in a traceback."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from diagram.cli import main

CLEAN = """\
tapeline: 1
title: Out of the way
level: 2'6"
purpose: One canter.
arena: 30 x 60 m
fences:
  birch: {kind: vertical, at: [30 m, 15 m], facing: 90°}
ride:
  - start: canter, left lead
  - jump: birch
  - finish: straight on, walk
"""
ROOT = Path(__file__).parents[2]
PROGRAM = [sys.executable, "-m", "diagram.cli"]
LONG = "n" * 300


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "birch.yaml").write_text(CLEAN, encoding="utf-8")
    return tmp_path


def run(folder: Path, *words: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*PROGRAM, *words], cwd=folder, capture_output="stdout" not in more, timeout=60, **more
    )  # type: ignore[call-overload]


def told(folder: Path, *words: str) -> Result:
    """The same in this process: exit code and errors come of the command, not of its outputs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return CliRunner().invoke(main, words)


def shell(folder: Path, line: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        ["bash", "-c", line.format(tapeline=" ".join(PROGRAM))], cwd=folder, capture_output=True,
        timeout=60, check=False,
    )  # fmt: skip


def test_a_closed_output_changes_nothing(folder: Path) -> None:
    done = shell(folder, "{tapeline} check birch.yaml >&-")
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
def test_a_full_disk_is_told_in_a_line(folder: Path) -> None:
    done = shell(folder, "{tapeline} check birch.yaml >/dev/full")
    assert (done.returncode, done.stderr) == (2, b"no space left on device\n")


def test_a_reader_that_goes_away_is_no_finding(folder: Path) -> None:
    line = "{tapeline} check birch.yaml birch.yaml | true; exit ${{PIPESTATUS[0]}}"
    done = shell(folder, line)
    assert done.returncode in (0, 141)
    assert done.stderr == b""


def test_letters_that_the_terminal_lacks_are_shown_by_number(folder: Path) -> None:
    file = folder / "birch.yaml"
    file.write_text(CLEAN.replace("birch", "bjørk"), encoding="utf-8")
    done = run(folder, "check", "birch.yaml", env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert b"Traceback" not in done.stderr
    assert done.returncode == 0


@pytest.mark.parametrize(
    "words",
    [
        ("check", f"{LONG}.yaml"),
        ("card", "birch.yaml", "--to", LONG),
        ("card", "birch.yaml", "--to", f"{LONG}/card.pdf"),
        ("card", "birch.yaml", "--to", "round"),
        ("card", "birch.yaml", "--to", "round/card.pdf"),
        ("set-out", "birch.yaml", "--measured", "/dev/zero"),
        ("set-out", "birch.yaml", "--measured", f"{LONG}.csv"),
    ],
)
def test_names_that_no_file_can_have(folder: Path, words: tuple[str, ...]) -> None:
    (folder / "round").symlink_to("round")
    done = told(folder, *words)
    assert isinstance(done.exception, SystemExit)
    assert done.exit_code == 2
    assert done.stderr.strip()


def test_a_name_that_no_file_can_have_is_told_by_the_program(folder: Path) -> None:
    done = run(folder, "check", f"{LONG}.yaml")
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert done.stderr.strip()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("arena: 30 x 60 m", "arena: 60 x 0 m", "a side is 0.0 m long"),
        ("arena: 30 x 60 m", "arena: 900 x 60 m", "a side is 900.0 m long"),
        (
            "arena: 30 x 60 m",
            "arena: {size: 30 x 60 m, sides: {left: stand, top: stand}}",
            'two sides are called "stand"',
        ),
        ("arena: 30 x 60 m", f"arena: 30 x 60 m\ndistances: {LONG}.yaml", "there is no file"),
    ],
)
def test_values_that_no_arena_can_have(folder: Path, old: str, new: str, said: str) -> None:
    (folder / "birch.yaml").write_text(CLEAN.replace(old, new), encoding="utf-8")
    done = told(folder, "check", "birch.yaml")
    assert done.exit_code == 2
    assert said in done.stderr


@pytest.mark.parametrize("count", ["²", "9" * 5000, "٣", "-1", "1e3"])
def test_a_store_is_counted_in_plain_figures(folder: Path, count: str) -> None:
    (folder / "store.yaml").write_text(f"standards: {count}\n", encoding="utf-8")
    done = told(folder, "check", "birch.yaml")
    assert done.exit_code == 2
    assert "is not a count" in done.stderr


def test_what_is_no_file_is_passed_over_with_a_word(folder: Path) -> None:
    os.mkfifo(folder / "pipe.yaml")
    (folder / "._birch.yaml").write_bytes(b"\x00\x05\x16\x07")
    (folder / "within.yaml").mkdir()
    done = run(folder, "check", ".")
    assert done.returncode == 0
    assert done.stderr.decode().splitlines() == [
        "pipe.yaml: passed over, it is no file",
        "within.yaml: passed over, it is no file",
    ]


@pytest.mark.parametrize(
    "words",
    [("check",), ("card", "--to", "out"), ("draw", "--to", "out"), ("set-out", "--to", "out"),
     ("library", "build", "--to", "out")],
    ids=" ".join,
)  # fmt: skip
def test_stopped_by_hand_it_says_so_and_leaves_nothing_half_done(
    folder: Path, words: tuple[str, ...]
) -> None:
    """A second after it has begun, in whatever it is at then."""
    yard = folder / "yard"
    yard.mkdir()
    # So many that none of the commands is done by then.
    for number in range(200):
        (yard / f"birch-{number:03}.yaml").write_text(CLEAN, encoding="utf-8")
    at = 2 if words[0] == "library" else 1
    begun = [*words[:at], "yard", *words[at:]]
    # Tests that run in the background are started deaf to Ctrl-C, and would hand that on.
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
        "from diagram.cli import main; print('begun', flush=True); main()"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code, *begun], cwd=folder, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(ROOT)},
        start_new_session=True,
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == b"begun\n"
    time.sleep(1.0)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert b"Traceback" not in said
    assert process.returncode in (0, 130)
    for file in (folder / "out").rglob("*"):
        assert not file.name.endswith(".part")
        assert file.suffix != ".pdf" or file.read_bytes().rstrip().endswith(b"%%EOF")
