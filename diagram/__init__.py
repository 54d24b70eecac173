"""Tapeline: from what a riding trainer says to a true-to-scale plan and a printed card.

import diagram

plan = diagram.plan("exercises/forward-wait-and-a-double.yaml")
plan.legs[1].track_m
diagram.draw(plan, "out.svg")
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from diagram.pipeline import card, draw, plan, plans

__version__ = "0.1.0"
__all__ = ["card", "draw", "plan", "plans"]


def __getattr__(name: str) -> Any:
    """`plan`, `plans`, `draw` and `card`, imported only when they are used."""
    if name in __all__:
        from diagram import pipeline

        return getattr(pipeline, name)
    raise AttributeError(f"module 'diagram' has no attribute {name!r}")
