"""approach-too-short: too few strides to a fence from the start, or out of another gait.

From walk and trot, strides of that gait are counted. Under the least it is a stop; out of a
halt, a stride short for horses that are not green is a note.
"""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.approach import Approach, approaches
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "approach-too-short"
WANTED = Limit(NAME, "wanted")
LEAST = Limit(NAME, "least")
AFTER_A_CHANGE = Limit(NAME, "after a change of gait")
AFTER_A_HALT = Limit(NAME, "after a halt")
SLACK = Limit(NAME, "slack")
FAIR_TURN = Limit(NAME, "fair turn")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    for approach in approaches(plan, FAIR_TURN.value):
        if not approach.opens and not approach.changed:
            continue
        wanted = _wanted(approach).of(approach.gait, experience)
        # In halves, as a rider counts them.
        strides = round(approach.strides * 2) / 2
        if strides >= wanted.value - SLACK.value:
            continue
        least = LEAST.of(approach.gait).value
        stop = strides < least - SLACK.value
        usual = AFTER_A_CHANGE.of(approach.gait, experience).value if approach.changed else math.inf
        enough = experience != "green" and strides >= usual
        message = (
            f"{strides_text(approach.strides)} of {approach.gait} to "
            f"{approach.fence.fence.name}{_from(approach)}; {wanted.value:.0f} are wanted"
        )
        hint = f"begin further back, or move {approach.fence.fence.name} on"
        yield found(
            plan, NAME,
            Severity.STOP if stop else Severity.NOTE if enough else Severity.CAUTION,
            message, approach.leg.path, hint,
            figure=approach.strides, limit=wanted.value, source=wanted.source,
            at=approach.fence.enter.point,
        )  # fmt: skip


def _wanted(approach: Approach) -> Limit:
    if not approach.changed:
        return WANTED
    halted = approach.gait == "canter" and approach.leg.ridden.stretches[-2].gait == "halt"
    return AFTER_A_HALT if halted else AFTER_A_CHANGE


def _from(approach: Approach) -> str:
    if not approach.changed:
        return " from the start"
    return f" after the {approach.leg.ridden.stretches[-2].gait}"


RULE = Rule(NAME, _check)
