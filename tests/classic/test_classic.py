"""The classic shapes, each said in a few lines: placed, and nothing found that one would mend.

Which shapes are classic is common practice (from memory).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from diagram.pipeline import plans

HERE = Path(__file__).parent
SHAPES = sorted(HERE.glob("*.yaml"))
LEFT_OPEN = {
    "one-rein-only", "too-little-straight", "lead-against-the-turn", "approach-too-short",
}  # fmt: skip
"""Notes that belong to a shape: it is ridden on one rein, its loops are as wide as the ring, a loop
back over the last fence opens out to the other hand first, four strides are left after a halt."""


@pytest.mark.parametrize("file", SHAPES, ids=lambda file: file.stem)
def test_it_is_placed_and_clean(file: Path) -> None:
    for plan in plans(file):
        assert plan.layout.outcome.startswith("placed")
        assert {str(f.severity) for f in plan.findings} <= {"note"}
        assert {f.rule for f in plan.findings} <= LEFT_OPEN
