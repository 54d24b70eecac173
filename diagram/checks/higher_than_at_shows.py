"""higher-than-at-shows: a fence higher than horses jump at home that show at the height said."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.trade.settings import chosen

NAME = "higher-than-at-shows"
SETTING = "home height"
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    shown = plan.terms.horses.shows_at_m
    if shown is None:
        return
    more = chosen(SETTING, plan.definition.judged_by)
    most = shown + more.value
    for placed in fences_of(plan):
        height = placed.fence.measures.height_m
        if placed.fence.kind.ridden_over or height <= most + SLACK.value:
            continue
        message = (
            f"{placed.name} is {say(plan, height)} high; horses that show at {say(plan, shown)} "
            f"jump no more than {say(plan, most)} at home"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, placed.fence.path,
            f"lower it to {say(plan, most)}", figure=height, limit=most,
            source=more.figure.source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, (f"settings/{SETTING}",))
