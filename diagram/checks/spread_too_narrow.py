"""spread-too-narrow: an oxer so narrow for its height that a horse sees one pole for two."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "spread-too-narrow"
SHARE = Limit(NAME, "share")
FROM = Limit(NAME, "from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for placed in fences_of(plan):
        measures, group = placed.fence.measures, placed.fence.facts.group
        if group not in ("spread", "triple bar") or measures.height_m < FROM.value - 0.005:
            continue
        least = measures.height_m * SHARE.value
        if measures.spread_m >= least - 0.005:
            continue
        message = (
            f"{placed.name} is {say(plan, measures.height_m)} high and only "
            f"{say(plan, measures.spread_m)} wide"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, placed.fence.path,
            f"draw it out to {say(plan, least)} at least", figure=measures.spread_m, limit=least,
            source=SHARE.source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
