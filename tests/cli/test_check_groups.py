"""What ``tapeline check`` shows: groups, source lines, colour, and JSON with every figure."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from diagram.cli import main

TEXT = """\
tapeline: 1
title: Much to find
purpose: To be checked.
level: 3'
arena: 30 x 60 m
horses: 12' stride
fences:
  birch: {kind: vertical, at: [22 m, 14 m], facing: 0°}
  hazel: {kind: oxer, spread: 3'6", placed: 68 ft beyond birch}
ride:
  - start: canter, left lead
  - jump: birch, angled left 50°
  - line: 5 strides
  - jump: hazel
    purpose: Land straight.
  - finish: straight on, walk
allow:
  wider-than-high: Schooled horses only.
"""


def run(*args: object) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "much.yaml"
    made.write_text(TEXT, encoding="utf-8")
    return made


def test_groups_come_worst_first_with_what_they_ask(file: Path) -> None:
    out = run("check", file).stdout
    heads = ["2 STOPS: do not ride this as it stands", "S: ride it knowing", "worth a look"]
    places = [out.index(head) for head in heads]
    assert places == sorted(places)
    assert out.rstrip().splitlines()[-1].startswith(f"{file}: 2 efforts")
    assert out.splitlines()[0] == f"{file}: placed as pinned"


def test_each_has_its_line_its_limit_and_its_mark(file: Path) -> None:
    out = run("check", file).stdout
    assert "  12 |   - jump: birch, angled left 50°" in out
    assert "limit from" not in out
    assert "on the drawing: A" in out
    assert "allowed by the trainer: Schooled horses only." in out


def test_sources_are_listed_once_at_the_end(file: Path) -> None:
    _, _, end = run("check", file).stdout.partition("Where the limits come from:\n")
    *listed, blank, _ = end.rstrip().splitlines()
    assert [line.split(":")[0].strip() for line in listed].count("angle-too-steep") == 1
    assert all("no source" in line or "[" in line for line in listed)
    assert (blank, listed) == ("", sorted(listed))


def test_for_machines_with_figure_limit_source_place_and_mark(file: Path) -> None:
    [found] = json.loads(run("check", file, "--json").stdout)
    assert found["counts"]["stop"] == 2
    assert sum(found["counts"].values()) == len(found["findings"])
    for finding in found["findings"]:
        assert {"rule", "severity", "message", "hint", "source", "at_m", "mark"} <= set(finding)
    steep = next(f for f in found["findings"] if f["rule"] == "angle-too-steep")
    assert (steep["figure"], steep["limit"], steep["mark"]) == (50.0, 45.0, "A")
    assert steep["at_m"] == [22.0, 14.0]
    wide = next(f for f in found["findings"] if f["rule"] == "wider-than-high")
    assert (wide["severity"], wide["allowed"]) == ("note", "Schooled horses only.")


def test_the_same_marks_in_measure(file: Path) -> None:
    [checked] = json.loads(run("check", file, "--json").stdout)
    measured = json.loads(run("measure", file, "--json").stdout)
    assert measured["findings"] == checked["findings"]


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="no terminals here")
def test_colour_on_a_terminal_and_none_elsewhere(file: Path) -> None:
    outer, inner = os.openpty()
    command = [sys.executable, "-m", "diagram.cli", "check", str(file)]
    environment = {**os.environ, "TERM": "xterm-256color"}
    environment.pop("NO_COLOR", None)
    done = subprocess.Popen(command, stdout=inner, env=environment, cwd=Path(__file__).parents[2])
    os.close(inner)
    shown = b""
    try:
        while piece := os.read(outer, 4096):
            shown += piece
    except OSError:
        pass  # A terminal that is closed reads as an error.
    os.close(outer)
    assert done.wait() == 1
    assert b"\x1b[" in shown
    assert "angle-too-steep" in shown.decode()
    assert "\x1b[" not in run("check", file).stdout
