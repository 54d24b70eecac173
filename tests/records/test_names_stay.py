"""Nothing of the record enters what is handed on: only its own pages and commands read it."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2] / "diagram"
MAY = {
    "cli/adding.py", "cli/correcting.py",
    "cli/observe.py", "cli/observed.py", "cli/readiness.py", "cli/record.py", "cli/record_lists.py",
    "cli/recording.py", "cli/shelf.py", "cli/typing_in.py", "drawing/everyone.py",
    "drawing/evidence.py", "drawing/figures.py",
    "drawing/observation.py", "drawing/observed_columns.py", "drawing/readiness.py",
}  # fmt: skip


def _reads_records(file: Path) -> bool:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        if any(name == "diagram.records" or name.startswith("diagram.records.") for name in names):
            return True
    return False


def test_only_its_own_pages_and_commands_read_it() -> None:
    readers = {
        str(file.relative_to(ROOT))
        for file in sorted(ROOT.rglob("*.py"))
        if "records" not in file.relative_to(ROOT).parts and _reads_records(file)
    }
    assert readers == MAY
