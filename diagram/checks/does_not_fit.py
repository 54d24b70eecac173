"""does-not-fit: the exercise as said does not fit this arena, these horses or its own pins.

What is drawn is the arrangement that falls short least.
"""

from collections.abc import Iterable

from diagram.checks.rule import Path, Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.pose import Point
from diagram.planning import Plan
from diagram.units import length_text

NAME = "does-not-fit"
MOST_SHOWN = 3
SOURCE = "limits of the horses and the arena (see the single checks)"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    layout = plan.layout
    if not layout.shortages:
        return
    changes = "; or ".join(change.words for change in layout.changes)
    hint = f"it would fit with {changes}" if changes else "nothing that was tried makes it fit"
    for shortage in layout.shortages[:MOST_SHOWN]:
        message = f"{shortage.words}: {length_text(shortage.short_m, 'both')} short"
        yield found(
            plan, NAME, Severity.STOP, message, shortage.path, hint, source=SOURCE,
            at=_place(plan, shortage.path), figure=shortage.short_m, limit=0.0,
            key=shortage.path[0] == "fences",
        )  # fmt: skip
        hint = ""


def _place(plan: Plan, path: Path) -> Point:
    """The middle of the leg or fence that is short of room."""
    for leg in plan.legs:
        if leg.path == path:
            return on_leg(leg)
    names = [fence for fence in plan.fences if fence.fence.path[:2] == path[:2]]
    return names[0].pose.point if names else plan.fences[0].pose.point


RULE = Rule(NAME, _check)
