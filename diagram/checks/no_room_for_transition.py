"""no-room-for-transition: too short a line for the change of gait asked for inside it."""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.pose import Point
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "no-room-for-transition"
SLACK_M = 0.01
SLACK = Limit(NAME, "slack")
A_STRIDE = "common practice (no source): a stride at least on each side of it"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    least = gaits.transition("canter strides for a line with a walk or halt")
    for leg in plan.legs:
        way = leg.link.way
        if way is None or way.transition is None:
            continue
        room = leg.track_m / plan.limits.canter.stride_m - 1
        if leg.ridden.short_m > SLACK_M:
            missing = say(plan, leg.ridden.short_m)
            message = f"{missing} are missing {_side(leg)} the {way.transition.gait}"
            yield found(
                plan, NAME, Severity.STOP, message, leg.path, _longer(plan, leg.ridden.short_m),
                figure=leg.ridden.short_m, limit=0.0, source=A_STRIDE, at=_where(leg),
            )  # fmt: skip
        elif room < least.low - SLACK.value:
            message = (
                f"a line of {strides_text(room)} of canter leaves little room for a "
                f"{way.transition.gait}; {least.low:.0f} are wanted"
            )
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path, "give the line more strides",
                figure=room, limit=least.low, source=least.source, at=_where(leg),
            )  # fmt: skip


def _where(leg: PlanLeg) -> Point:
    middle = leg.ridden.in_and_out
    return on_leg(leg, (middle.begin_m + middle.end_m) / 2 if middle else None)


def _side(leg: PlanLeg) -> str:
    """Where the room is missing."""
    middle = leg.ridden.in_and_out
    before = middle is not None and middle.short_before_m > SLACK_M
    after = middle is not None and middle.short_after_m > SLACK_M
    return "before and after" if before and after else "before" if before else "after"


def _longer(plan: Plan, missing_m: float) -> str:
    strides = max(1, math.ceil(missing_m / plan.limits.canter.stride_m - SLACK_M))
    return f"lengthen the line by {strides} stride{'s' * (strides > 1)}, or begin it sooner"


RULE = Rule(NAME, _check, ("gaits/transitions/canter strides for a line with a walk or halt",))
