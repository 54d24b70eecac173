"""A command loads the libraries that it uses and no others, and no search where none is needed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from diagram.pipeline import plan

ROOT = Path(__file__).parents[2]

LOADED = """
import json, sys
from diagram.cli import main
try:
    main(sys.argv[1:], prog_name="tapeline")
except SystemExit as end:
    assert not end.code, end.code
sys.stderr.write("\\n" + json.dumps(sorted(sys.modules)))
"""
READERS = {"numpy", "pydantic", "yaml"}
WRITERS = {"reportlab", "svgwrite", "cairosvg", "fontTools", "ezdxf", "PIL"}
NEVER = {"scipy", "shapely", "rich", "jinja2", "sqlite3", "pypdf", "asyncio", "multiprocessing"}
SEARCH = (
    "diagram.placing.designer.design", "diagram.placing.designer.search", "diagram.solver.search",
    "diagram.solver.loosen", "diagram.solver.starts", "diagram.solver.forced",
    "diagram.solver.conflict",
)  # fmt: skip


FILE = ROOT / "exercises" / "figure-of-eight-with-new-leads.yaml"
COMMANDS: dict[str, set[str]] = {
    "--help": set(),
    "record --help": set(),
    "lesson --help": set(),
    "schema": {"pydantic", "yaml"},
    "format --check FILE": {"pydantic", "yaml"},
    "check FILE": READERS,
    "check --json FILE": READERS,
    "measure FILE": READERS | {"rich"},
    "measure --json FILE": READERS,
    "new own.yaml --like FILE": READERS,
    "draw FILE --to drawing.svg": READERS | {"svgwrite", "fontTools"},
    "draw FILE --to drawing.pdf": READERS | {"reportlab"},
    "draw FILE --to drawing.dxf": READERS | {"ezdxf", "fontTools"},
    "card FILE --to card.pdf": READERS | {"reportlab"},
    "set-out FILE --to leaf.csv": READERS,
    "set-out FILE --to leaf.pdf": READERS | {"reportlab"},
    "observe FILE --to sheet.pdf": READERS | {"reportlab", "sqlite3"},
    "library list": READERS | {"multiprocessing"},
}
"""What each command may load of the libraries that are watched, and must."""


@pytest.fixture(scope="module")
def remembered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which the places of the exercise are remembered."""
    folder = tmp_path_factory.mktemp("kept")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TAPELINE_CACHE", str(folder))
        plan(FILE)
    return folder


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_loads_only_what_it_uses(command: str, remembered: Path, tmp_path: Path) -> None:
    """Whether the corners of a field make sense is a question for shapely: here is a rectangle.

    Its places are remembered the second time, and what is remembered needs no search.
    """
    words, needed = command.replace("FILE", str(FILE)).split(), COMMANDS[command]
    if command == "library list":
        (tmp_path / "lib").mkdir()
        (tmp_path / "lib" / FILE.name).write_bytes(FILE.read_bytes())
        words.append("lib")
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words], capture_output=True, text=True, check=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TAPELINE_CACHE": str(remembered)},
    )  # fmt: skip
    loaded = set(json.loads(done.stderr.splitlines()[-1]))
    assert {name for name in loaded if name in READERS | WRITERS | NEVER} - needed <= DRAGGED_IN
    assert needed <= loaded
    assert [name for name in sorted(loaded) if name.startswith(SEARCH)] == []
    if not needed:
        assert not any(name.startswith(("diagram.planning", "diagram.model")) for name in loaded)


DRAGGED_IN = {"PIL"}
"""reportlab loads it for pictures, whether there are any or not."""
