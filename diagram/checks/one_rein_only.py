"""one-rein-only: every turn of the ride goes to the same hand."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.schooling import schooling

NAME = "one-rein-only"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    totals, least = plan.totals, schooling().turns_to_one_hand
    turns = totals.left_turns + totals.right_turns
    if turns < least.value or (totals.left_turns and totals.right_turns):
        return
    hand, other = ("left", "right") if totals.left_turns else ("right", "left")
    turning = [leg for leg in plan.legs if leg.ridden.hand == hand]
    message = f"all {turns} turns go {hand}"
    yield found(
        plan, NAME, Severity.NOTE, message, turning[-1].path,
        f"ride it mirrored as well, or change the rein to the {other}", figure=float(turns),
        limit=least.value, source=least.source, at=on_leg(turning[-1]),
    )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/turns to one hand",))
