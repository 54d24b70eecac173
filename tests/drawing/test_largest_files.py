"""Files as large as the format allows still have a drawing and words."""

from __future__ import annotations

import pytest

from diagram.diagnostics import RejectedError
from diagram.drawing.ride_words import MOST_ROWS, ROW, ride_rows
from diagram.drawing.side_one import A4, draw_side_one
from diagram.pipeline import plan_text
from diagram.scene import Text, walk

HEAD = """\
tapeline: 1
title: Once more
level: 2'6"
purpose: As much as there can be.
arena: {arena}
fences:
{fences}ride:
  - start: canter
"""


def ridden(arena: str, jumps: int) -> str:
    """One fence jumped again and again out of the same turn."""
    fence = "  birch: {kind: vertical, at: [30 m, 15 m], facing: 0°}\n"
    steps = "  - turn: left\n".join("  - jump: birch\n" for _ in range(jumps))
    return HEAD.format(arena=arena, fences=fence) + steps + "  - finish: straight on, walk\n"


def test_a_long_ride_in_words_leaves_room_for_the_drawing() -> None:
    rows = ride_rows(plan_text(ridden("30 x 60 m", 59), "many.yaml"), A4.inner)
    assert rows.height <= MOST_ROWS * ROW
    words = [item.text for item in walk(rows.marks(0.0, 0.0).children) if isinstance(item, Text)]
    assert "which have no room here" in " ".join(words)


def test_the_largest_arena_fits_on_paper() -> None:
    drawn = draw_side_one(plan_text(ridden("400 x 400 m", 1), "large.yaml"))
    assert drawn.frame.denominator > 1250


def test_more_fences_than_anybody_builds_are_refused() -> None:
    element = "{kind: vertical, after: bounce}"
    row = f"elements: [{{kind: vertical}}, {', '.join([element] * 11)}]"
    fences = "".join(
        f"  row {n}: {{kind: combination, at: [20 m, {10 + 8 * n} m], facing: 0°, {row}}}\n"
        for n in range(11)
    )
    text = HEAD.format(arena="80 x 100 m", fences=fences) + "  - jump: row 0\n"
    with pytest.raises(RejectedError) as caught:
        plan_text(text, "rows.yaml")
    told = [(found.span.line, found.message) for found in caught.value.diagnostics if found.span]
    assert (6, "132 fences and elements of combinations in all") in told
