"""higher-than-the-horses: a fence higher or wider than horses of this size and experience jump."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, horses_text, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import ground_taken_m
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "higher-than-the-horses"
CAUTION_OVER = Limit(NAME, "caution over")
STOP_OVER = Limit(NAME, "stop over")
WIDE_OVER = Limit(NAME, "wide over")
TOO_WIDE_OVER = Limit(NAME, "too wide over")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for placed in fences_of(plan):
        fence = placed.fence
        if fence.kind.ridden_over:
            continue
        sizes = (
            (fence.measures.height_m, "high", CAUTION_OVER, STOP_OVER),
            (ground_taken_m(fence), "wide", WIDE_OVER, TOO_WIDE_OVER),
        )
        for metres, word, caution, stop in sizes:
            words = plan.terms.horses.size, plan.terms.horses.experience
            least, most = caution.of(*words), stop.of(*words)
            if metres <= least.value + SLACK.value:
                continue
            over = metres > most.value + SLACK.value
            limit = most if over else least
            message = (
                f"{placed.name} is {say(plan, metres)} {word}; {horses_text(plan)} "
                f"{'never jump' if over else 'seldom jump'} over {say(plan, limit.value)}"
            )
            yield found(
                plan, NAME, Severity.STOP if over else Severity.CAUTION, message, fence.path,
                f"lower it to {say(plan, least.value)} or less" if word == "high" else
                f"draw it in to {say(plan, least.value)} or less",
                figure=metres, limit=limit.value, source=limit.source, at=placed.pose.point,
            )  # fmt: skip


RULE = Rule(NAME, _check)
