"""start-off-the-wall: the horse cannot have come to where the ride begins: a rail is behind it.

A track is followed straight back from the start; out through the gate it may go. Under the least
it is a caution, for what is counted to the first fence then begins at a standstill.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.turns_short import behind_start
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "start-off-the-wall"
WANTED = Limit(NAME, "wanted")
LEAST = Limit(NAME, "least")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        gait = leg.ridden.stretches[0].gait
        if leg.first is not None or leg.second is None or gait == "halt":
            continue
        behind = behind_start(leg.curve, plan.arena) / plan.limits.for_gait(gait).stride_m
        if behind >= WANTED.value - SLACK.value:
            continue
        grave = behind < LEAST.value
        name = leg.second.fence.name
        message = (
            f"the ride to {name} begins with a rail close behind; "
            f"{WANTED.value:.0f} strides of {gait} straight back are wanted"
        )
        yield found(
            plan, NAME, Severity.CAUTION if grave else Severity.NOTE, message, leg.path,
            f"move {name} away from that rail, or say in start: which side to come along",
            figure=behind, limit=WANTED.value, source=WANTED.source, at=leg.curve.start.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
