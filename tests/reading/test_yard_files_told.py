"""Rings, stores and libraries with slips in them: told with the place and with what can be written.

The slips are those of people in a hurry (from memory).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from diagram.diagnostics import RejectedError
from diagram.exercise.inventory import read_store
from diagram.library.collection import read_about
from diagram.model.yard_file import read_yard_file
from diagram.pipeline import plan

EXERCISE = """\
tapeline: 1
title: T
level: 3'
purpose: P
arena: my ring
fences:
  birch: {kind: vertical, at: [18 m, 8 m], facing: 0°}
ride:
  - start: canter
  - jump: birch
"""
RINGS = [
    ("my ring\n  size: 60 x 20 m\n", 1, "my ring:\n  size: 60 x 20 m\n"),
    ("my ring:\n  size: 70x200\n", 2, "my ring:\n  size: 70 x 200 ft\n"),
    ('my ring:\n  size: "70x200"\n', 2, "my ring:\n  size: 70 x 200 m\n"),
    ("my ring:\n\tsize: 60 x 20 m\n", 2, "my ring:\n  size: 60 x 20 m\n"),
    ("- my ring:\n    size: 60 x 20 m\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("", 1, "my ring: {size: 60 x 20 m}\n"),
    ("# my rings\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("60 x 20 m: my ring\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring: 60 x 20 m\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring:\nsize: 60 x 20 m\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("arenas:\n  my ring: {size: 60 x 20 m}\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring: {sise: 60 x 20 m}\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring: {size: -60 x 20 m}\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring: {size: 60 by 20 m}\n", 1, "my ring: {size: 60 x 20 m}\n"),
    ("my ring: {size: 100 ft x 200}\n", 1, "my ring: {size: 100 x 200 ft}\n"),
    ("my ring: {size: [60 m, 20 m]}\n", 1, "my ring: {size: 60 m x 20 m}\n"),
    ("my ring: {size: 60 x 20,5 m}\n", 1, "my ring: {size: 60 x 20.5 m}\n"),
    ("my ring: {length: 60 m, width: 20 m}\n", 1, "my ring: {size: 60 m x 20 m}\n"),
    ("my ring: {size: 60 x 20 m, gate: left}\n", 1,
     "my ring: {size: 60 x 20 m, gate: {side: left}}\n"),
    ("my ring: {size: 60 x 20 m, gate: {side: left, at: 25 m}}\n", 1,
     "my ring: {size: 60 x 20 m, gate: {side: left, at: 18.1 m}}\n"),
    ("my ring: {size: 60 x 20 m, gate: {side: left, width: 30 m}}\n", 1,
     "my ring: {size: 60 x 20 m, gate: {side: left, width: 3.7 m}}\n"),
    ("my ring: {size: 60 x 20 m, letters: yes, gate: {side: A}}\n", 1,
     "my ring: {size: 60 x 20 m, letters: yes, gate: {side: left}}\n"),
    ("my ring: {size: 50 x 25 m, letters: yes}\n", 1,
     "my ring: {size: 50 x 25 m, posts: {A: [0 m, 10 m]}}\n"),
    ("my ring: {size: 60 x 20 m, sides: [road, far]}\n", 1,
     "my ring: {size: 60 x 20 m, sides: {bottom: road side}}\n"),
    ("my ring: {size: 60 x 20 m, sides: {botom: road}}\n", 1,
     "my ring: {size: 60 x 20 m, sides: {bottom: road}}\n"),
    ("my ring: {corners: [[0 m, 0 m], [60 m, 20 m]]}\n", 1,
     "my ring: {corners: [[0 m, 0 m], [60 m, 0 m], [60 m, 20 m], [0 m, 20 m]]}\n"),
]  # fmt: skip
STORES = [
    ("", 1, "standards: 16\n"),
    ("- standards: 16\n", 1, "standards: 16\n"),
    ("poles 24\nstandards 12\n", 1, "poles: {12': 24}\nstandards: 12\n"),
    ("store\n  standards: 12\n", 1, "standards: 12\n"),
    ("store:\n  standards: 12\n", 1, "standards: 12\n"),
    ("poles: 24\n", 1, "poles: {12': 24}\n"),
    ("poles:\n  - 12' x 24\n", 2, "poles: {12': 24}\n"),
    ("poles: {12: 24}\n", 1, "poles: {12': 24}\n"),
    ("poles: {24: 12'}\n", 1, "poles: {12': 24}\n"),
    ("standards: 8 pairs\n", 1, "standards: 16\n"),
    ("standards: -4\n", 1, "standards: 4\n"),
    ("standards: [12]\n", 1, "standards: 12\n"),
    ("Standards: 12\n", 1, "standards: 12\n"),
    ("safety_cups: 4\n", 1, "safety cups: 4\n"),
    ("wings: 12\n", 1, "standards: 12\n"),
    ("pins: 8\n", 1, "cups: 8\n"),
    ("fillers: [brush boxes]\n", 1, "fillers: {brush boxes: 4}\n"),
]
HEAD = "tapeline library: 1\n"
LIBRARIES = [
    ("", 1, HEAD),
    ("title: T\n", 1, HEAD + "title: T\n"),
    ("tapeline library 1\ntitle: T\n", 1, HEAD + "title: T\n"),
    ("tapeline: 1\n", 1, HEAD),
    ("tapeline library: 2\n", 1, HEAD),
    ("- tapeline library: 1\n", 1, HEAD),
    (HEAD + "name: Mine\n", 2, HEAD + "title: Mine\n"),
    (HEAD + "description: Mine\n", 2, HEAD + "about: Mine\n"),
    (HEAD + "date: 3/4/2024\n", 2, HEAD + "about: As of 3/4/2024\n"),
    (HEAD + "groups: bending\n", 2, HEAD + "groups: bending lines\n"),
    (HEAD + "stores: [Yard]\n", 2, HEAD + "stores: {Thornbeck: {standards: 24}}\n"),
    (HEAD + "stores:\n", 2, HEAD + "stores: {Thornbeck: {standards: 24}}\n"),
    (HEAD + "stores: {Yard: 24 standards}\n", 2, HEAD + "stores: {Yard: {standards: 16}}\n"),
    (HEAD + "arenas: {r: 60 x 20 m}\n", 2, HEAD),
]
SLIPS = [
    *(("arenas.yaml", *case) for case in RINGS),
    *(("store.yaml", *case) for case in STORES),
    *(("library.yaml", *case) for case in LIBRARIES),
]


def read_in(folder: Path, kind: str, text: str) -> None:
    (folder / kind).write_text(text, encoding="utf-8")
    if kind == "library.yaml":
        read_about(folder)
    elif kind == "store.yaml":
        read_store(read_yard_file(folder / kind))
    else:
        file = folder / "exercise.yaml"
        file.write_text(EXERCISE, encoding="utf-8")
        plan(file)


@pytest.mark.parametrize(("kind", "wrong", "line", "cured"), SLIPS)
def test_the_place_and_a_cure(tmp_path: Path, kind: str, wrong: str, line: int, cured: str) -> None:
    with pytest.raises(RejectedError) as refused:
        read_in(tmp_path, kind, wrong)
    first = refused.value.diagnostics[0]
    assert first.span is not None
    assert (Path(first.span.file).name, first.span.line) == (kind, line)
    assert first.hint
    for advised in re.findall(r"`([^`]+)`", first.hint):
        assert advised in cured
    read_in(tmp_path, kind, cured)
