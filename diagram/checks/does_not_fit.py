"""does-not-fit: the exercise as said does not fit this arena, these horses or its own pins.

What is drawn is the arrangement that falls short least.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, at_path, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.units import length_text

NAME = "does-not-fit"
SOURCE = "derived: the arrangement that falls short least"
MOST_SHOWN = Limit(NAME, "told")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    layout = plan.layout
    if not layout.shortages:
        return
    changes = "; or ".join(change.words for change in layout.changes)
    hint = f"it would fit with {changes}" if changes else "nothing that was tried makes it fit"
    for shortage in layout.shortages[: int(MOST_SHOWN.value)]:
        message = f"{shortage.words}: {length_text(shortage.short_m, 'both')} short"
        yield found(
            plan, NAME, Severity.STOP, message, shortage.path, hint, figure=shortage.short_m,
            limit=0.0, key=shortage.path[0] == "fences", source=SOURCE,
            at=at_path(plan, shortage.path),
        )  # fmt: skip
        hint = "mending the worst of it may mend this as well"


RULE = Rule(
    NAME,
    _check,
    tells_of=(
        "distance-off", "fence-in-the-way", "fence-too-near-the-rail", "landing-into-a-corner",
        "off-the-arena", "too-little-straight", "turn-too-tight",
    ),
)  # fmt: skip
