"""angle-too-steep: a fence jumped at a greater angle than its kind allows."""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.fences.kind import with_article
from diagram.planning import Plan

NAME = "angle-too-steep"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        limit = crossing.fence.fence.facts.angle
        angle = abs(crossing.jump.angle)
        if angle <= limit.value + 1e-9:
            continue
        kind = crossing.fence.fence.kind.name
        message = (
            f"{crossing.fence.name} is jumped at {math.degrees(angle):.0f}°; "
            f"for {with_article(kind)} {math.degrees(limit.value):.0f}° is the most"
        )
        hint = "straighten the line or use a vertical"
        yield found(
            plan, NAME, Severity.STOP, message, crossing.jump.path, hint,
            figure=math.degrees(angle), limit=math.degrees(limit.value), source=limit.source,
            at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
