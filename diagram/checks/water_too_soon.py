"""water-too-soon: a liverpool as the first fence, or in a combination, for green horses."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import WATER, is_pole, rows
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "water-too-soon"
BEFORE = Limit(NAME, "fences before it")
WITHIN = Limit(NAME, "a combination within")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    if plan.terms.horses.experience != "green":
        return
    jumped = [c for c in plan.crossings if not is_pole(c)]
    in_rows = {end.fence.name for row in rows(plan, WITHIN.value) for end in row.fences}
    told: set[str] = set()
    for number, crossing in enumerate(jumped):
        fence = crossing.fence.fence
        first, together = number < BEFORE.value, fence.name in in_rows
        if fence.kind.name != WATER or fence.name in told or not (first or together):
            continue
        told.add(fence.name)
        limit = WITHIN if together else BEFORE
        where = "stands in a combination" if together else "comes before any other fence"
        yield found(
            plan, NAME, Severity.CAUTION, f"{fence.name}, a liverpool, {where}",
            crossing.jump.path, "show it to green horses alone, after fences that they know",
            limit=limit.value, source=limit.source, at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
