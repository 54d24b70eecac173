"""bounce-too-high: a bounce between fences higher than a horse bounces through well."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, horses_text, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.distances import highest_m
from diagram.judging.rows import between_fences, gap_of
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "bounce-too-high"
HEIGHT = Limit(NAME, "height")
STOP_OVER = Limit(NAME, "stop over")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    most = HEIGHT.of(plan.terms.horses.experience)
    for leg in between_fences(plan):
        if gap_of(leg).strides:
            continue
        high = highest_m(leg)
        if high <= most.value + SLACK.value:
            continue
        stop = high > most.value + STOP_OVER.value + SLACK.value
        message = (
            f"a bounce between fences of {say(plan, high)}; for {horses_text(plan)} "
            f"{say(plan, most.value)} is the most"
        )
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, leg.path,
            "lower both, or give them a stride", figure=high, limit=most.value,
            source=most.source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(NAME, _check)
