"""Inside a package too, imports go one way: no module leads back to itself."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "diagram"
PACKAGES = sorted(path.parent for path in ROOT.rglob("__init__.py") if path.parent != ROOT)


def _imported(text: str, package: str, names: set[str]) -> set[str]:
    """Modules of `package` that a file imports when it is itself imported.

    What is imported inside functions, or for the types alone, is read later and makes no circle.
    """
    found: set[str] = set()
    for node in ast.parse(text).body:
        for one in [node] if not isinstance(node, ast.Try) else node.body:
            if isinstance(one, ast.Import):
                found |= {alias.name for alias in one.names}
            elif isinstance(one, ast.ImportFrom) and one.level == 0:
                module = one.module or ""
                found |= {module, *(f"{module}.{alias.name}" for alias in one.names)}
    mine = {name.removeprefix(f"{package}.").split(".")[0] for name in found
            if name.startswith(f"{package}.")}  # fmt: skip
    return mine & names


def circle_in(files: Mapping[str, str], package: str) -> list[str]:
    """A circle of imports among the modules of a package, by name; an empty list for none."""
    names = set(files)
    to = {name: sorted(_imported(text, package, names) - {name}) for name, text in files.items()}
    done: set[str] = set()

    def follow(name: str, way: list[str]) -> list[str]:
        if name in way:
            return [*way[way.index(name) :], name]
        if name in done:
            return []
        for other in to[name]:
            if circle := follow(other, [*way, name]):
                return circle
        done.add(name)
        return []

    return next((circle for name in sorted(to) if (circle := follow(name, []))), [])


def _name(folder: Path) -> str:
    return ".".join(("diagram", *folder.relative_to(ROOT).parts))


@pytest.mark.parametrize("folder", PACKAGES, ids=lambda f: str(f.relative_to(ROOT)))
def test_no_circle(folder: Path) -> None:
    files = {
        file.stem: file.read_text(encoding="utf-8")
        for file in folder.glob("*.py")
        if file.stem != "__init__"
    }
    assert circle_in(files, _name(folder)) == []


def test_a_bad_import_is_found_out() -> None:
    files = {
        "one": "from diagram.made.two import x\n",
        "two": "import math\nfrom diagram.made import three\n",
        "three": "from diagram.made.one import y\n",
    }
    assert circle_in(files, "diagram.made") == ["one", "two", "three", "one"]
    later = {**files, "three": "def f():\n    from diagram.made.one import y\n"}
    assert circle_in(later, "diagram.made") == []
