"""The fences as they stand, on the drawing of their plan: where each should be is shown dashed."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from diagram.drawing.frame import Frame
from diagram.drawing.sheet import Drawn, draw_plan
from diagram.exercise.fence import PlacedFence
from diagram.planning import Plan
from diagram.scene import Group, Stroke
from diagram.style import SOFT_INK, Pen
from diagram.units import Units

SHOULD_BE = Pen(SOFT_INK, 0.2, (0.8, 0.6))


def draw_as_built(
    plan: Plan, built: Plan, off: Collection[str], width: float, height: float, units: Units
) -> Drawn:
    """`built` on a drawing of at most `width` by `height` mm, with the planned place of `off`.

    Raises ValueError when the arena does not fit at any scale.
    """
    drawn = draw_plan(built, width, height, units)
    ghosts = [_ghost(plan.fence(name), drawn.frame) for name in off]
    scene = drawn.scene
    return replace(
        drawn, scene=replace(scene, items=(*scene.items, Group("planned", tuple(ghosts))))
    )


def _ghost(fence: PlacedFence, frame: Frame) -> Group:
    """The poles of a fence and its standards' feet where the plan has them."""
    bars = [
        Stroke(
            frame.many((fence.ground(bar.start), fence.ground(bar.end))), SHOULD_BE, sized="ground"
        )
        for bar in fence.fence.parts.bars
        if bar.kind != "ground line"
    ]
    outline = Stroke(frame.many(fence.outline), SHOULD_BE, closed=True, sized="ground")
    return Group(f"planned-{fence.name.replace(' ', '-')}", (*bars, outline))
