"""A fence that is said to be jumped along a line of the arena, in a shape that stands across it."""

from __future__ import annotations

from msgspec import Struct

from diagram.planning import Plan
from diagram.source import Scalar


class AcrossItsLine(Struct, frozen=True):
    """Which fence, how its line is written, and which phrase puts the others beside it."""

    fence: str
    line: str
    arranged: int


def across_its_line(plan: Plan) -> AcrossItsLine | None:
    """The fence on a line beside which the others of its serpentine find no room in the arena.

    On a line a fence is jumped along it where nothing else is said, and the fences of a serpentine
    stand side by side: across that line.
    """
    placed = {fence.name: fence.pose.point for fence in plan.fences}
    for number, said in enumerate(plan.definition.arrange):
        if said.how != "in a serpentine":
            continue
        for name in said.fences:
            written = plan.definition.fences.get(name)
            if written is None or written.on is None or written.facing or name not in placed:
                continue
            others = [placed[other] for other in said.fences if other in placed and other != name]
            if any(plan.arena.region.depth(place) < 0 for place in others):
                return AcrossItsLine(name, _as_written(plan, name), number)
    return None


def _as_written(plan: Plan, name: str) -> str:
    """``on: centre line`` of a block, ``on centre line`` of a fence in words."""
    node, in_block = plan.document.node_at(("fences", name, "on"))
    text = node.text if isinstance(node, Scalar) else ""
    if in_block:
        return f"on: {text}"
    pieces = (piece.strip() for piece in text.split(","))
    return next((piece for piece in pieces if piece.startswith(("on ", "stands on "))), "on")
