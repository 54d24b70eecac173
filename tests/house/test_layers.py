"""The house: a module imports only from rows above it, and each library only where it lives."""

import ast
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "diagram"

ROWS = (
    ("folder",),
    ("plain",),
    ("units",),
    ("diagnostics",),
    ("geometry",),
    ("source",),
    ("edits",),
    ("trade",),
    ("model",),
    ("fences",),
    ("exercise",),
    ("path",),
    ("ride",),
    ("solver",),
    ("placing",),
    ("planning",),
    ("fitting",),
    ("judging",),
    ("checks",),
    ("changing",),
    ("stakeout",),
    ("survey",),
    ("records",),
    ("ownfont",),
    ("typeface",),
    ("style",),
    ("scene",),
    ("typesetting", "unset"),
    ("drawing",),
    ("sections",),
    ("writers",),
    ("pipeline",),
    ("library",),
    ("lessons",),
    ("writing",),
    ("cli",),
)
ROW = {name: number for number, names in enumerate(ROWS) for name in names}

LIBRARIES = {
    "numpy": (
        "geometry",
        "path",
        "ride",
        "solver",
        "placing",
        "planning",
        "checks",
        "stakeout",
        "survey",
        "records",
        "drawing",
        "writers/json_page.py",
        "writers/tiles.py",
        "lessons",
    ),
    "msgspec": tuple(ROW),
    "shapely": ("geometry", "exercise"),
    "scipy": ("solver", "stakeout", "survey", "records"),
    "yaml": ("source", "edits"),
    "pydantic": ("trade", "model"),
    "pydantic_core": ("trade", "model"),
    "rich": ("diagnostics", "cli"),
    "click": ("cli",),
    "platformdirs": ("records", "ownfont"),
    "svgwrite": ("writers/svg.py",),
    "reportlab": (
        "sections",
        "writers/pdf.py",
        "writers/card.py",
        "writers/foot.py",
        "writers/setting_sheet.py",
        "writers/as_built.py",
    ),
    "cairosvg": ("writers/png.py",),
    "ezdxf": ("writers/dxf.py",),
    "pypdf": ("writers/joined.py",),
    "fontTools": (
        "ownfont",
        "typeface",
        "sections/shapes.py",
        "writers/svg.py",
        "library/templates.py",
    ),
    "jinja2": ("library/templates.py",),
    "markupsafe": ("library/site_pages.py",),
    "uharfbuzz": ("ownfont",),
    "font_source_sans_pro": ("typeface",),
}
OWN = {"diagram"}


def _files() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


@cache
def _imports(file: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            found.add(node.module)
            if node.module == "diagram":
                found |= {f"diagram.{alias.name}" for alias in node.names}
    return found


def _part(file: Path) -> str:
    inside = file.relative_to(ROOT).parts[0]
    return inside.removesuffix(".py")


@pytest.mark.parametrize("file", _files(), ids=lambda f: str(f.relative_to(ROOT)))
def test_imports_point_up(file: Path) -> None:
    part = _part(file)
    if part == "__init__":
        return
    assert part in ROW, f"{part} has no row in the house"
    for name in _imports(file):
        pieces = name.split(".")
        if pieces[0] != "diagram" or len(pieces) == 1 or pieces[1] in ("__version__",):
            continue
        assert ROW[pieces[1]] <= ROW[part], f"{file.name} imports {name} from below"


@pytest.mark.parametrize("file", _files(), ids=lambda f: str(f.relative_to(ROOT)))
def test_libraries_stay_where_they_live(file: Path) -> None:
    import sys

    where = str(file.relative_to(ROOT))
    for name in _imports(file):
        top = name.split(".")[0]
        if top in OWN or top in sys.stdlib_module_names:
            continue
        allowed = LIBRARIES.get(top, ())
        assert any(where == place or _part(file) == place for place in allowed), (
            f"{where} may not import {top}"
        )


def test_the_layer_test_can_fail() -> None:
    """A made-up file of `units` that imports the model is found out."""
    tree = ast.parse("from diagram.model import Definition")
    assert any(isinstance(node, ast.ImportFrom) for node in ast.walk(tree))
    assert ROW["model"] > ROW["units"]
