"""One idea, one name: no class that others may import is called as another one is."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).parents[2] / "diagram"


def _twice(texts: Mapping[str, str]) -> dict[str, list[str]]:
    """Public classes by name that several of the files have, with those files."""
    found = defaultdict(list)
    for file, text in texts.items():
        for node in ast.parse(text).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(file)
    return {name: files for name, files in found.items() if len(files) > 1}


def test_no_class_name_stands_twice() -> None:
    assert _twice({str(p): p.read_text(encoding="utf-8") for p in ROOT.rglob("*.py")}) == {}


def test_a_second_one_is_found() -> None:
    assert _twice({"a": "class Leg: ...", "b": "class Leg: ...", "c": "class Way: ..."}) == {
        "Leg": ["a", "b"]
    }
