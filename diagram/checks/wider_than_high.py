"""wider-than-high: a spread wider than its height. Hunters never, others only with experience."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.units import feet_inches

NAME = "wider-than-high"
SOURCE = "published (rule) [R23]: Colorado Hunter Jumper Association rule 8.1 courses"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for fence in plan.fences:
        measures = fence.fence.measures
        if fence.fence.facts.group != "spread" or measures.spread_m <= measures.height_m + 0.05:
            continue
        message = (
            f"{fence.name} is {feet_inches(measures.spread_m)} wide and "
            f"{feet_inches(measures.height_m)} high"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, fence.fence.path, "draw it in",
            figure=measures.spread_m, limit=measures.height_m, source=SOURCE,
            at=fence.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
