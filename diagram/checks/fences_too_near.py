"""fences-too-near: two fences with less ground between than a horse can use."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole
from diagram.planning import Plan, PlanLeg
from diagram.trade.adjustments import adjustments
from diagram.trade.schooling import schooling

NAME = "fences-too-near"


def least_between(plan: Plan, leg: PlanLeg) -> float:
    """Metres between two fences that a horse can just use; nothing where a pole is one of them.

    The short bounce, or the shortest that is published for fences as low as these.
    """
    if leg.first is None or leg.second is None or is_pole(leg.first) or is_pole(leg.second):
        return 0.0
    share = plan.terms.horses.stride_m / adjustments().low_fences.stride.value
    bounce = leg.resolved.distance(0)
    return min(schooling().closest_fences.value * share, bounce.limit(longer=False)[0]) - 0.005


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        least = least_between(plan, leg)
        if leg.first is None or leg.second is None or leg.track_m >= least:
            continue
        message = (
            f"{say(plan, leg.track_m)} between "
            f"{leg.first.fence.name} and {leg.second.fence.name}: a horse cannot land and take off"
        )
        hint = f"give them {say(plan, least)} or more, or take one away"
        yield found(
            plan, NAME, Severity.STOP, message, leg.path, hint, figure=leg.track_m,
            limit=least + 0.005, source=schooling().closest_fences.source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    ("schooling/closest fences",),
    tells_of=("between-two-counts", "bounce-too-high", "distance-off"),
)
