"""solid-fence-first: green horses begin over a wall, a gate or boxes, with poles to jump later."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "solid-fence-first"
FROM = Limit(NAME, "from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    jumped = [crossing for crossing in plan.crossings if not is_pole(crossing)]
    if plan.terms.horses.experience != "green" or not jumped:
        return
    first, height = jumped[0], jumped[0].fence.fence.measures.height_m
    inviting = [crossing for crossing in jumped if not crossing.fence.fence.is_solid]
    if not first.fence.fence.is_solid or not inviting or height < FROM.value - 0.005:
        return
    name = first.jump.fence
    yield found(
        plan, NAME, Severity.CAUTION,
        f"{name}, the first fence that green horses come to, is solid: a horse that stops to look "
        "stops there", first.jump.path,
        f"begin over {inviting[0].jump.fence}, or another fence of poles, and jump {name} later",
        figure=height, limit=FROM.value, source=SOURCE, at=first.pose.point,
    )  # fmt: skip


SOURCE = "published (rule) [R28]: British Showjumping, competencies of course designers"
"""A novice first fence is inviting."""

RULE = Rule(NAME, _check)
