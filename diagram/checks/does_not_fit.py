"""does-not-fit: the exercise as said does not fit this arena, these horses or its own pins.

What is drawn is the arrangement that falls short least. It is nothing to build, so that what else
is wrong with its places is not told: with the cause mended the fences stand elsewhere.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, at_path, found, say_off
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "does-not-fit"
SOURCE = "derived: the arrangement that falls short least"
MOST_SHOWN = Limit(NAME, "told")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    """One finding: what falls short most is the cause, and the rest is said with it."""
    layout = plan.layout
    if not layout.shortages:
        return
    worst, *others = layout.shortages
    message = f"{worst.words}: {say_off(plan, worst.short_m)} short"
    told = [shortage.words for shortage in others[: int(MOST_SHOWN.value)]]
    if told:
        message += "; so are others for the same want of room: " + "; ".join(told)
    changes = "; or ".join(change.words for change in layout.changes)
    hint = (
        f"it would fit with {changes}" if changes else "tapeline check --changes tries what helps"
    )
    yield found(
        plan, NAME, Severity.STOP, message, worst.path, hint, figure=worst.short_m,
        limit=0.0, key=worst.path[0] == "fences", source=SOURCE, at=at_path(plan, worst.path),
    )  # fmt: skip


OF_PLACES = (
    "approach-too-short", "circle-left-out", "fence-in-the-gateway", "fence-in-the-way",
    "fence-too-near-the-rail", "fences-collide", "fences-too-near", "landing-into-a-corner",
    "off-the-arena", "post-in-the-way", "rides-meet", "start-off-the-wall",
    "too-little-straight", "turn-too-tight",
)  # fmt: skip
"""Checks whose findings come of where the fences stand."""

RULE = Rule(NAME, _check, tells_of=("distance-off", "no-choice"), explains=OF_PLACES)
