"""Every option of the commands of lessons and of the record is used once: it ends with no
traceback, and what comes out is not what comes out without it."""

from __future__ import annotations

import io
import re
import shutil
import sqlite3
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from diagram.cli import main

sys.path.insert(0, str(Path(__file__).parent))
from record_options import ANSWER, AS_IF_LEFT_OUT, LESSON, OPTIONS, Words, arguments

FREE = """\
tapeline: 1
title: Two lines
purpose: The same canter on both.
teaches: straightness
level: 2'6"
arena: 30 x 60 m
fences: {oak: vertical, elm: oxer, ash: vertical}
ride:
  - start: canter, left lead
  - jump: oak
  - line: 5 strides
  - jump: elm
  - turn: left
  - jump: ash
  - finish: straight on, walk
"""
HEAD, STEPS = FREE.split("ride:\n")
RIDE = "    ride:\n" + "".join(f"    {line}\n" for line in STEPS.splitlines())
TWO_RIDES = f"{HEAD}rides:\n  - name: first\n{RIDE}  - name: second\n    horses: large pony\n{RIDE}"
SEEN, ASKED = ",a,a,5,a,yes,", ",,,,,yes,"
TRIED_ELSEWHERE = {"record demo"}
"""Commands of the record that want the exercises of the shipped library (tests/records)."""


def commands(group: click.Group, names: Words = ()) -> Iterator[tuple[str, click.Command]]:
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, (*names, name))
        else:
            yield " ".join((*names, name)), command


def loaded() -> dict[str, click.Command]:
    """The commands of lessons and of the record, by their names."""
    assert isinstance(main, click.Group)
    context = click.Context(main)
    found: dict[str, click.Command] = {}
    for name in ("lesson", "record", "observe", "readiness"):
        command = main.get_command(context, name)
        assert command is not None
        if isinstance(command, click.Group):
            inside = click.Context(command, parent=context)
            for part in command.list_commands(inside):
                below = command.get_command(inside, part)
                assert below is not None
                if isinstance(below, click.Group):
                    found |= dict(commands(below, (name, part)))
                else:
                    found[f"{name} {part}"] = below
        else:
            found[name] = command
    return found


def ran(folder: Path, *words: str) -> Result:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return CliRunner().invoke(main, words, input=ANSWER)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with an exercise, a lesson, and a record in which one sheet is written down."""
    folder = tmp_path_factory.mktemp("made")
    (folder / "lib").mkdir()
    for name, text in (
        ("free.yaml", FREE), ("lib/free.yaml", FREE), ("lib/lesson.yaml", LESSON),
        ("lib/plan.yaml", LESSON.split("run:")[0]), ("lib/two-rides.yaml", TWO_RIDES),
        ("old.pdf", "A page of mine."),
    ):  # fmt: skip
        (folder / name).write_text(text, encoding="utf-8")
    record = ("--record", "r.sqlite")
    begun = [
        ("record", "rider", "Ida", "--born", "2012", "--since", "2026-01-01"),
        ("record", "horse", "Bramble", "--size", "pony large", "--since", "2026-01-01"),
        ("record", "rider", "Jonas"), ("record", "horse", "Comet"),
        ("observe", "free.yaml", "--pair", "Ida, Bramble", "--to", "sheet.pdf"),
        ("record", "template", "1", "--to", "filled.csv"),
    ]  # fmt: skip
    for words in begun:
        assert ran(folder, *words, *record).exit_code == 0, words
    asked = (folder / "filled.csv").read_text("utf-8")
    (folder / "filled.csv").write_text(asked.replace(ASKED, SEEN), encoding="utf-8")
    other = asked.replace("Ida,Bramble", "Jonas,Comet").replace(ASKED, SEEN)
    (folder / "more.csv").write_text(other, encoding="utf-8")
    shutil.copy(folder / "r.sqlite", folder / "unseen.sqlite")
    for words in (
        ("record", "add", "--sheet", "1", "--from", "filled.csv", "--date", "2026-03-01", *record),
        ("record", "export", "kept", *record), ("record", "steps", "steps"),
    ):  # fmt: skip
        assert ran(folder, *words).exit_code == 0, words
    return folder


def left_behind(folder: Path, done: Result) -> list[object]:
    """What a command said and what there is after it, without the hour of the day."""
    found: list[object] = [done.exit_code, done.output]
    for file in sorted(folder.rglob("*")):
        name = str(file.relative_to(folder))
        if not file.is_file() or name.endswith(("-wal", "-shm")) or "/." in name:
            continue
        if file.suffix == ".pdf" and file.read_bytes().startswith(b"%PDF"):
            pages = PdfReader(io.BytesIO(file.read_bytes())).pages
            found.append((name, [(tuple(page.mediabox), page.extract_text()) for page in pages]))
        elif file.suffix == ".sqlite":
            with sqlite3.connect(file) as record:
                text = "\n".join(record.iterdump())
            record.close()
            found.append((name, re.sub(rf"\d{{4}}-\d\d-\d\dT[^']*|{folder}", "", text)))
        else:
            found.append((name, file.read_bytes()))
    return found


def outcome(made: Path, folder: Path, said: Words) -> tuple[int, list[object]]:
    """How a command ends in a copy of what is `made`, and what it leaves behind."""
    shutil.copytree(made, folder)
    done = ran(folder, *said)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, left_behind(folder, done)


@pytest.fixture(scope="module")
def without_it() -> dict[Words, list[object]]:
    """What commands leave behind, by their words."""
    return {}


def test_every_option_is_tried() -> None:
    told = {name: found for name, found in loaded().items() if name not in TRIED_ELSEWHERE}
    assert told.keys() == OPTIONS.keys()
    for name, command in told.items():
        known = {
            param.opts[-1] for param in command.params
            if isinstance(param, click.Option) and param.name != "help"
        }  # fmt: skip
        assert known == OPTIONS[name].keys(), name


TRIALS = [
    (command, option, words)
    for command, options in OPTIONS.items()
    for option, some in options.items()
    for words in some
]


@pytest.mark.parametrize(("command", "option", "words"), TRIALS, ids=str)
def test_an_option_does_something(
    made: Path, without_it: dict[Words, list[object]], tmp_path: Path,
    command: str, option: str, words: Words,
) -> None:  # fmt: skip
    said, left_out = arguments(command, option, words)
    exit_code, with_it = outcome(made, tmp_path / "0", said)
    assert exit_code in (0, 1), with_it
    # Several options of a command are held against the same words without them.
    if left_out not in without_it:
        without_it[left_out] = outcome(made, tmp_path / "1", left_out)[1]
    without = without_it[left_out]
    same = (command, option, *words[:1]) in AS_IF_LEFT_OUT
    same = same or (option == "--record" and "new.sqlite" not in words[:1] + words)
    needed = option in ("--sheet",) or (command, option) == ("lesson plan", "--to")
    if not needed and not (option == "--record" and words[0] == "imported.sqlite"):
        assert (with_it == without) is (same or (option == "--from" and command == "record add"))
