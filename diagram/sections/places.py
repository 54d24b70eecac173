"""The fences: what each is, which jumps go over it, and where its middle stands."""

from __future__ import annotations

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table

from diagram.drawing.words import fence_measures, one_unit
from diagram.exercise.fence import PlacedFence
from diagram.planning import Plan
from diagram.sections.page import Page
from diagram.sections.paragraphs import SIDE, paragraph, part, ruled, words
from diagram.units import Units, length_text

TITLE = "Fence by fence"
COLUMN_WIDTH = 120.0
"""Millimetres in which most fences take one line."""

GROUND_LINES = {"front": "ground line", "both sides": "ground line both sides", "none": ""}


def flowables(plan: Plan, page: Page) -> list[Flowable]:
    """A line for each fence in the order of the file, in columns read downwards."""
    count = max(1, int(page.inner_width // COLUMN_WIDTH))
    each = -(-len(plan.fences) // count)
    lines = [paragraph(_line(fence, plan, page.units), SIDE) for fence in plan.fences]
    lines += [paragraph("", SIDE)] * (each * count - len(lines))
    rows = [[lines[column * each + row] for column in range(count)] for row in range(each)]
    table = Table(rows, colWidths=[page.inner_width / count * mm] * count, style=ruled())
    return [*part(TITLE), table]


def _line(placed: PlacedFence, plan: Plan, units: Units) -> str:
    """``hazel 1, 7 vertical 3', brush boxes; 169' from the left, 72'2" from below``."""
    x0, y0, _, _ = plan.arena.region.bounds
    numbers = ", ".join(plan.numbers()[placed.name])
    fence = placed.fence
    built = " ".join(text for text in (fence.kind.name, fence_measures(placed, units)) if text)
    parts = [built, fence.measures.filler or ""]
    if not fence.kind.ridden_over:
        parts.append(GROUND_LINES[fence.measures.ground_line])
    across, up = (
        length_text(metres, one_unit(units)) for metres in (placed.pose.x - x0, placed.pose.y - y0)
    )
    said = ", ".join(text for text in parts if text)
    return (
        f"{words(numbers or 'not jumped', 'bold')} {words(placed.name, 'semibold')} {words(said)}; "
        f"{words(f'{across} from the left, {up} from below')}"
    )
