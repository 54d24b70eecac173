"""Take on what the program makes now as what it should make: ``python -m tests.accept``.

Renews the goldens, the messages about wrong files, the schema, the page of marks, the pictures
of the README and the tables of docs/format.md. Then read every line of ``git diff``.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from diagram.model.schema import schema_text
from diagram.pipeline import plan, setting_of
from diagram.stakeout.crew import Crew
from diagram.units import FOOT
from diagram.writers import svg
from diagram.writers.card import card_sides
from diagram.writers.setting_sheet import sheet_scenes
from tests.cli.doc_tables import DOCS, RULES, rules_page, with_tables
from tests.symbols import symbols_svg

ROOT = Path(__file__).parents[1]
SCHEMA = ROOT / "diagram" / "model" / "exercise.schema.json"


SHOWN = ROOT / "exercises" / "every-fence-twice.yaml"


def pictures() -> dict[str, bytes]:
    """Side 1 of a card and its leaf, as they stand in the README, by their file in docs/."""
    made = plan(SHOWN)
    leaf = sheet_scenes(setting_of(made, Crew("feet", FOOT / 24, 100 * FOOT, FOOT / 12)))[0]
    return {"card.svg": svg.scene_bytes(card_sides(made)[0]), "leaf.svg": svg.scene_bytes(leaf)}


def accept() -> int:
    """Renew everything; the exit code of the tests that write the goldens."""
    import pytest

    DOCS.write_text(with_tables(DOCS.read_text(encoding="utf-8")), encoding="utf-8")
    RULES.write_text(rules_page(), encoding="utf-8")
    (ROOT / "docs" / "symbols.svg").write_bytes(symbols_svg())
    for name, picture in pictures().items():
        (ROOT / "docs" / name).write_bytes(picture)
    SCHEMA.write_text(schema_text(), encoding="utf-8")
    os.environ["TAPELINE_ACCEPT"] = "1"
    return int(pytest.main(["-q", str(ROOT / "tests" / "golden"), str(ROOT / "tests" / "reading")]))


if __name__ == "__main__":
    sys.exit(accept())
