"""Every option of every command is used once, on an exercise with free fences: it does something,
and ends with no traceback. An option that is new fails here till it is tried."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from diagram.cli import main

ROOT = Path(__file__).parents[2]
FREE = """\
tapeline: 1
title: Two lines
purpose: The same canter on both.
level: 2'6"
arena: 30 x 60 m
skills: [rhythm]
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
STORE = "standards: 12\npoles: {12': 24}\ncups: 40\n"
NOT_RUN = {
    ("draw", "--watch"): "goes on till it is stopped",
    ("library rings", "--jobs"): "a minute of searching, of which nothing depends on it",
}
"""Options that are tried elsewhere, and why not here."""

Words = tuple[str, ...]
NAMED = ("--title", "Named", "--purpose", "Rhythm.")
SAID = ("--says", "plank, 3 strides, oxer")
OPTIONS: dict[str, dict[str, tuple[Words, ...]]] = {
    "check": {"--json": ((),), "--changes": ((),)},
    "measure": {"--json": ((),), "--relations": ((),)},
    "format": {"--check": ((),)},
    "card": {
        "--to": (("out.pdf",),), "--sides": (("1",), ("2",)),
        "--units": (("feet",), ("metres",), ("both",)),
        "--paper": (("a4",), ("letter",), ("a3",), ("tabloid",)),
    },
    "draw": {
        "--to": (("out.svg",), ("out.png",), ("out.dxf",)), "--as": (("pdf",), ("svg",)),
        "--dpi": (("60", "--as", "png"),), "--why": ((),),
        "--scale": (("1:200", "--view", "wall"),),
        "--view": (("sheet",), ("phases",), ("phone",), ("wall",), ("colouring",)),
        "--units": (("feet",), ("metres",), ("both",)),
        "--paper": (("a4",), ("letter",), ("a3",), ("tabloid",)),
    },
    "fit": {
        "--arena": (("25 x 60 m", "--to", "fitted.yaml"),), "--horses": (("large pony",),),
        "--height": (("2'",),), "--mirrored": ((),), "--end-for-end": ((),),
        "--move": (("elm 1 m left",),), "--to": (("fitted.yaml", "--mirrored"),),
        "--force": (("--mirrored", "--to", "pinned.yaml"),),
        "--changes": (("--arena", "25 x 60 m"),), "--json": (("--mirrored",),),
        "--units": tuple((of, "--height", "2'") for of in ("feet", "metres", "both")),
        "--paper": tuple((of, "--height", "2'") for of in ("a4", "letter", "a3", "tabloid")),
    },
    "set-out": {
        "--to": (("out.pdf",), ("out.csv",), ("out.json",)),
        "--as": (("pdf",), ("csv",), ("json",)),
        "--round": (("2 in",),), "--tape-error": (("3 cm",),), "--tape-length": (("50 ft",),),
        "--store": (("corner left / top",),), "--track": ((),), "--after": (("pinned.yaml",),),
        "--form": ((),), "--measured": (("tapes.csv",),), "--within": (("3 in",),),
        "--feet-free": (("--measured", "tapes.csv"),), "--json": (("--measured", "tapes.csv"),),
        "--units": (("feet",), ("metres",), ("both",)),
        "--paper": (("a4",), ("letter",), ("a3",), ("tabloid",)),
    },
    "new": {
        "--says": (("plank, 3 strides, oxer", *NAMED),),
        "--shape": (("outside line of two", *NAMED),),
        "--like": (("free.yaml", *NAMED),), "--title": (("Named", *NAMED[2:], *SAID),),
        "--purpose": (("Rhythm.", *NAMED[:2], *SAID),), "--arena": (("20 x 60 m", *NAMED, *SAID),),
        "--horses": (("large pony", *NAMED, *SAID),), "--level": (("2'", *NAMED, *SAID),),
        "--strides": (("4", *NAMED, "--shape", "outside line of two"),),
        "--force": ((*NAMED, *SAID),),
    },
    "library list": {"--units": (("metres",),), "--json": ((),)},
    "library check": {"--jobs": (("1",),)},
    "library rings": {},
    "library catalogue": {
        "--to": (("all.pdf",),), "--jobs": (("1",),), "--units": (("metres",),),
    },
    "library build": {
        "--to": (("built",),), "--only": (("card", "--to", "built"), ("leaf",), ("drawing",)),
        "--jobs": (("1",),),
        "--force": ((),), "--units": (("both",),), "--paper": (("letter",),),
    },
    "library pack": {"--to": (("one.tapeline",),), "--force": (("--to", "two.tapeline"),)},
    "library publish": {
        "--to": (("site",),), "--no-prints": (("--to", "site"),),
        "--one-file": (("--to", "site"),), "--jobs": (("1", "--to", "site"),),
        "--units": (("metres", "--to", "site"),), "--paper": (("letter", "--to", "site"),),
    },
    "library search": {
        "--in": (("lib",),), "--teaches": (("straightness",),), "--height": (("2'6\"",),),
        "--fences": (("3",),), "--poles": (("30",),), "--minutes": (("60",),),
        "--riders": (("2",),), "--suits": (("horses",),), "--two-groups": ((),),
        "--arena": (("30 x 60 m",),), "--ring": (("40 x 80 m",),), "--store": (("store.yaml",),),
        "--units": (("metres",),),
    },
    "library show": {"--in": (("lib",),), "--units": (("metres", "--in", "lib"),)},
    "library unpack": {
        "--to": (("unpacked",),), "--clashes": (("both", "--to", "lib"),),
        "--dry-run": (("--to", "unpacked"),),
    },
}  # fmt: skip
TAKES = {
    "new": "made.yaml", "library search": "two", "library show": "free",
    "library unpack": "packed.tapeline",
}  # fmt: skip
"""What each command is given that takes no exercise and no library."""


def commands() -> Iterator[tuple[str, click.Command]]:
    def below(
        group: click.Group, context: click.Context, names: Words
    ) -> Iterator[tuple[str, click.Command]]:
        for name in group.list_commands(context):
            command = group.get_command(context, name)
            assert command is not None
            if isinstance(command, click.Group):
                yield from below(command, click.Context(command, parent=context), (*names, name))
            else:
                yield " ".join((*names, name)), command

    assert isinstance(main, click.Group)
    yield from below(main, click.Context(main), ())


def trials() -> Iterator[tuple[str, str, Words]]:
    for command, options in OPTIONS.items():
        for option, some in options.items():
            for words in some:
                yield command, option, words


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with exercises, a library, what is measured of one, and a pack."""
    folder = tmp_path_factory.mktemp("made")
    (folder / "free.yaml").write_text(FREE, encoding="utf-8")
    library = folder / "lib"
    library.mkdir()
    (library / "free.yaml").write_text(FREE, encoding="utf-8")
    for words in (
        ("fit", "free.yaml", "--mirrored", "--to", "pinned.yaml"),
        ("set-out", "free.yaml", "--form", "--to", "form.pdf"),
        ("library", "pack", "lib", "--to", "packed.tapeline"),
    ):
        done = _ran(folder, *words)
        assert done.exit_code == 0, done.output
    # As if every tape had been read as 20 m: what is built so is far from the plan, and is told.
    head, *rows = (folder / "form-measured.csv").read_text("utf-8").splitlines()
    read = "\n".join([head, *(f"{row}20" for row in rows)])
    (folder / "tapes.csv").write_text(read, encoding="utf-8")
    (folder / "store.yaml").write_text(STORE, encoding="utf-8")
    return folder


def _ran(folder: Path, *words: str) -> Result:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return CliRunner().invoke(main, words)


def test_every_option_is_tried() -> None:
    told = {name: command for name, command in commands() if name in OPTIONS}
    assert told.keys() == OPTIONS.keys()
    for name, command in told.items():
        known = {
            param.opts[-1] for param in command.params
            if isinstance(param, click.Option) and param.name != "help"
        }  # fmt: skip
        left_out = {option for of, option in NOT_RUN if of == name}
        assert known == OPTIONS[name].keys() | left_out, name


@pytest.mark.parametrize(("command", "option", "words"), list(trials()), ids=str)
def test_an_option_ends_with_no_traceback(
    made: Path, tmp_path: Path, command: str, option: str, words: Words
) -> None:
    folder = tmp_path / "here"
    shutil.copytree(made, folder)
    takes = TAKES.get(command, "lib" if command.startswith("library") else "free.yaml")
    done = _ran(folder, *command.split(), takes, option, *words)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    assert done.exit_code in (0, 1), done.output
