"""wider-than-high: a spread wider than its height, by the body that the file is judged by.

Hunters never; others only with experience. Far wider than any class has it is a stop.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.trade.settings import chosen

NAME = "wider-than-high"
SETTING = "spread against height"
SLACK = Limit(NAME, "slack")
STOP_OVER = Limit(NAME, "stop over")
TRIPLE_BARS = Limit(NAME, "stop over for triple bars")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    choice = chosen(SETTING, plan.definition.judged_by)
    body, share = choice.name, choice.figure
    for placed in fences_of(plan):
        measures, group = placed.fence.measures, placed.fence.facts.group
        if group not in ("spread", "triple bar"):
            continue
        limit = measures.height_m * share.value
        most = STOP_OVER if group == "spread" else TRIPLE_BARS
        stop = measures.spread_m > measures.height_m * most.value + SLACK.value
        # A triple bar is built wider than it is high.
        if not stop and (group == "triple bar" or measures.spread_m <= limit + SLACK.value):
            continue
        message = (
            f"{placed.name} is {say(plan, measures.spread_m)} wide and "
            f"{say(plan, measures.height_m)} high"
        )
        source = most.source if stop else share.source
        limit = measures.height_m * most.value if stop else limit
        hint = "draw it in" if body == "hunters" or stop else f"draw it in, as for {body}"
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, placed.fence.path,
            hint, figure=measures.spread_m, limit=limit, source=source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, ("settings/spread against height",))
