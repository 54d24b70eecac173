"""first-fence-away-from-the-gate: green horses begin with their backs to home."""

import math
from collections.abc import Iterable

from diagram.checks.rule import LAST_DIGIT, Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "first-fence-away-from-the-gate"
SOURCE = "common practice (no source)"
SQUARE = 90.0


def _check(plan: Plan) -> Iterable[Diagnostic]:
    gate = plan.arena.gate
    jumped = [c for c in plan.crossings if not c.fence.fence.kind.ridden_over]
    if plan.terms.horses.experience != "green" or gate is None or not jumped:
        return
    first = jumped[0]
    x, y = first.pose.point
    home = math.atan2(gate.middle[1] - y, gate.middle[0] - x)
    off = math.degrees(abs(math.remainder(home - first.pose.heading, 2 * math.pi)))
    if off <= SQUARE + LAST_DIGIT:
        return
    message = f"{first.fence.name}, the first fence, is jumped away from the gate"
    yield found(
        plan, NAME, Severity.NOTE, message, first.jump.path,
        "begin towards the gate, where green horses like to go", figure=off, limit=SQUARE,
        source=SOURCE, at=first.pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check)
