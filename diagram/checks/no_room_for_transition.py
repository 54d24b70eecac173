"""no-room-for-transition: too short a line for the change of gait asked for inside it."""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.pose import Point
from diagram.model.phrases import MOST_STRIDES
from diagram.model.said import Transition
from diagram.planning import Plan, PlanLeg
from diagram.ride.strides import A_LITTLE_OVER
from diagram.ride.transitions import InAndOut
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "no-room-for-transition"
SLACK_M = 0.01
SLACK = Limit(NAME, "slack")
SHORTENS = "common practice (no source): a horse shortens to come back and to strike off"
A_STRIDE = "common practice (no source): a stride at least on each side of it"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    least = gaits.transition("canter strides for a line with a walk or halt")
    for leg in plan.legs:
        way = leg.link.way
        if way is None or way.transition is None:
            continue
        yield from _not_as_said(plan, leg, way.transition)
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


def _not_as_said(plan: Plan, leg: PlanLeg, said: Transition) -> Iterable[Diagnostic]:
    """Other strides on the sides than are said: the steps between take of the ground of the line.

    Coming back and striking off a horse shortens, so that a side rides in a stride more than its
    ground has room for at a normal one.
    """
    both, sides = leg.ridden.in_and_out, said.sides
    if sides is None or both is None or (both.canter_in.strides, both.canter_out.strides) == (
        sides, sides
    ):  # fmt: skip
        return
    steps = f"{said.gait} {said.steps or ''}".strip()
    message = (
        f"on the ground of {leg.strides} canter strides this rides as {both.canter_in.strides}, "
        f"{steps}, {both.canter_out.strides}, and {sides}, {steps}, {sides} is said"
    )
    long = _line_for(plan, leg, both, sides)
    unit = "seconds" if said.gait == "halt" else "steps"
    middle = f"{steps} {unit}" if said.steps else said.gait
    hint = f"write {long} strides, {middle} in the middle" if long else "say fewer steps"
    yield found(
        plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=both.canter_in.strides,
        limit=sides, source=SHORTENS, at=_where(leg),
    )  # fmt: skip


def _line_for(plan: Plan, leg: PlanLeg, both: InAndOut, sides: int) -> int | None:
    """The count of a line that has so many strides on both sides of its middle."""
    stride = plan.limits.canter.stride_m
    between = both.end_m - both.begin_m
    ends = leg.ridden.ground.landing_m + leg.ridden.ground.take_off_m
    for count in range(2 * sides - 1, MOST_STRIDES + 1):
        free = leg.resolved.distance(count).aim_m - between - ends
        if math.ceil(free / 2 / stride - A_LITTLE_OVER) == sides:
            return count
    return None


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
