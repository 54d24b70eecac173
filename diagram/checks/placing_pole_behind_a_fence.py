"""placing-pole-behind-a-fence: a pole to land before, set for green horses."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.schooling import schooling

NAME = "placing-pole-behind-a-fence"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    if plan.terms.horses.experience != "green":
        return
    near = schooling().pole_behind_a_fence
    for leg in plan.legs:
        if leg.first is None or leg.second is None or leg.track_m > near.value + 0.005:
            continue
        over = leg.first.fence.fence.kind.ridden_over
        if over or not leg.second.fence.fence.kind.ridden_over:
            continue
        message = (
            f"a pole lies {say(plan, leg.track_m)} behind {leg.first.fence.name}, "
            "and the horses are green"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, leg.path, "take the pole away",
            figure=leg.track_m, limit=near.value, source=near.source, at=leg.second.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/pole behind a fence",))
