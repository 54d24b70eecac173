"""start-off-the-wall: the horse cannot have come to where the ride begins: a rail is behind it.

A track is followed straight back from the start; out through the gate it may go. Under the least
it is a caution, for what is counted to the first fence then begins at a standstill.
"""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.approach import approaches
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "start-off-the-wall"
WANTED = Limit(NAME, "wanted")
LEAST = Limit(NAME, "least")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for approach in approaches(plan):
        gait = approach.leg.ridden.stretches[0].gait
        if not approach.opens or gait == "halt":
            continue
        canter = plan.limits.canter.stride_m
        stride = canter if gait == "canter" else gaits.gait(gait).stride.typical
        back = approach.leg.curve.start.reversed()
        free = plan.arena.region.ray_length(back.point, back.direction)
        gate = plan.arena.gate
        if gate and math.dist(back.ahead(free).point, gate.middle) <= gate.width / 2:
            continue
        behind = free / stride
        if behind >= WANTED.value - SLACK.value:
            continue
        grave = behind < LEAST.value
        name = approach.fence.fence.name
        message = (
            f"the ride to {name} begins with a rail close behind; "
            f"{WANTED.value:.0f} strides of {gait} straight back are wanted"
        )
        yield found(
            plan, NAME, Severity.CAUTION if grave else Severity.NOTE, message, approach.leg.path,
            f"move {name} away from that rail, or say in start: which side to come along",
            figure=behind, limit=WANTED.value, source=WANTED.source, at=back.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
