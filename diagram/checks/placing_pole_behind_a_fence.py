"""placing-pole-behind-a-fence: a pole to land before, set for green horses or close to an oxer."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_spread
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.trade.schooling import schooling

NAME = "placing-pole-behind-a-fence"
AFTER_A_SPREAD = Limit(NAME, "after a spread")
SPREAD = Limit(NAME, "a spread from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    green = plan.terms.horses.experience == "green"
    for leg in plan.legs:
        if leg.first is None or leg.second is None:
            continue
        wide = is_spread(leg.first) and leg.first.fence.fence.measures.spread_m >= SPREAD.value
        near = schooling().pole_behind_a_fence if green else AFTER_A_SPREAD.of()
        if leg.track_m > near.value + (0.005 if green else -0.005) or not (green or wide):
            continue
        over = leg.first.fence.fence.kind.ridden_over
        if over or not leg.second.fence.fence.kind.ridden_over:
            continue
        message = (
            f"a pole lies {say(plan, leg.track_m)} behind {leg.first.fence.name}, "
            f"{'and the horses are green' if green else 'where a horse lands from a spread'}"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, leg.path,
            "take the pole away" if green else "lay it further out, or take it away",
            figure=leg.track_m, limit=near.value, source=near.source, at=leg.second.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/pole behind a fence",))
