"""stride-of-another-size: a stride said that horses or ponies of the size said do not have.

Every distance that is worked out would be built for somebody else.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, of_size, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "stride-of-another-size"
LEAST = Limit(NAME, "shortest")
MOST = Limit(NAME, "longest")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    horses = plan.terms.horses
    least, most = LEAST.of(horses.size), MOST.of(horses.size)
    stride = horses.stride_m
    if least.value - SLACK.value <= stride <= most.value + SLACK.value:
        return
    limit = least if stride < least.value else most
    message = f"a stride of {say(plan, stride)} is none of {of_size(plan)}"
    yield found(
        plan, NAME, Severity.CAUTION, message, ("horses",),
        f"{say(plan, least.value)} to {say(plan, most.value)}, or say another size",
        figure=stride, limit=limit.value, source=limit.source, at=plan.fences[0].pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check)
