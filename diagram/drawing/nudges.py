"""What the file says about labels moved by hand."""

from __future__ import annotations

from diagram.model.nudge import Nudge
from diagram.planning import Plan


def nudge_at(plan: Plan, path: tuple[str | int, ...]) -> Nudge | None:
    """The nudge written in the step of the ride at `path`, if there is one."""
    if len(path) < 2 or path[-2] != "ride" or not isinstance(path[-1], int):
        return None
    found = getattr(plan.definition.ride[path[-1]], "label", None)
    return found if isinstance(found, Nudge) else None


def nudge_of_fence(plan: Plan, name: str) -> Nudge | None:
    """The nudge written for a fence, if there is one."""
    fence = plan.definition.fences.get(name)
    return fence.label if fence else None
