"""no-ground-line: an airy fence with nothing on the ground before it, for green horses."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "no-ground-line"
FROM = Limit(NAME, "from")
AIRY = ("vertical", "spread", "triple bar")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    green = plan.terms.horses.experience == "green"
    for placed in fences_of(plan):
        fence = placed.fence
        airy = fence.facts.group in AIRY and not fence.measures.filler and not fence.parts.boxes
        if not airy or fence.measures.ground_line != "none":
            continue
        if fence.measures.height_m < FROM.value - 0.005:
            continue
        message = f"{placed.name} is airy and has no ground line"
        yield found(
            plan, NAME, Severity.CAUTION if green else Severity.NOTE, message, fence.path,
            "add ground line: front, or a filler", figure=fence.measures.height_m,
            limit=FROM.value, source=FROM.source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
