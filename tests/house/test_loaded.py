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


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("--help",), set()),
        (("check",), READERS),
        (("draw", "--to", "drawing.svg"), READERS | {"svgwrite", "fontTools"}),
        (("card", "--to", "card.pdf"), READERS | {"reportlab"}),
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else "",
)
def test_a_command_loads_only_what_it_uses(
    words: tuple[str, ...], needed: set[str], tmp_path: Path
) -> None:
    """Whether the corners of a field make sense is a question for shapely: here is a rectangle.

    Its places are remembered the second time, and what is remembered needs no search.
    """
    exercise = ROOT / "exercises" / "figure-of-eight-with-new-leads.yaml"
    whole = [*words[:1], *([] if words[0] == "--help" else [str(exercise)]), *words[1:]]
    plan(exercise)
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *whole], capture_output=True, text=True, check=True,
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    loaded = set(json.loads(done.stderr.splitlines()[-1]))
    assert {name for name in loaded if name in READERS | WRITERS | NEVER} - needed <= DRAGGED_IN
    assert needed <= loaded
    assert [name for name in sorted(loaded) if name.startswith(SEARCH)] == []
    if words[0] == "--help":
        assert not any(name.startswith(("diagram.planning", "diagram.model")) for name in loaded)


DRAGGED_IN = {"PIL"}
"""reportlab loads it for pictures, whether there are any or not."""
