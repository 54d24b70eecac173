"""front-too-low: an oxer whose front pole lies so far under the back one that it misleads."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "front-too-low"
CAUTION_UNDER = Limit(NAME, "caution under")
STOP_UNDER = Limit(NAME, "stop under")
FROM = Limit(NAME, "from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for placed in fences_of(plan):
        measures = placed.fence.measures
        if placed.fence.facts.group != "spread" or measures.height_m < FROM.value - 0.005:
            continue
        least = measures.height_m * CAUTION_UNDER.value
        if measures.front_m >= least - 0.005:
            continue
        stop = measures.front_m < measures.height_m * STOP_UNDER.value - 0.005
        message = (
            f"the front of {placed.name} is {say(plan, measures.front_m)} and its back "
            f"{say(plan, measures.height_m)}: a horse takes off for the front"
        )
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, placed.fence.path,
            f"raise the front to {say(plan, least)}, or build a triple bar",
            figure=measures.front_m, limit=least, source=CAUTION_UNDER.source,
            at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
