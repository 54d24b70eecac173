"""no-choice: a line or bend said to ride in other strides as well, and not to be ridden in them.

A choice of bends is one when each rides in its count: its length lies in the range for so many
strides. A straight line has one length for both: it is a choice while neither stride is shorter or
longer than a canter stride can be made.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan, PlanLeg
from diagram.ride.versions import version
from diagram.trade import jumping
from diagram.trade.limits import Limit

NAME = "no-choice"
SOURCE = "derived: every line of one bend between the two fences"
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        if leg.shape == "line" and (leg.others or leg.resolved.elsewhere):
            yield from _on_a_line(plan, leg)
            continue
        shown = {other.strides: other for other in leg.others}
        for strides in leg.link.way.ways if leg.link.way else ():
            path = (*leg.path, "ways")
            other = shown.get(strides)
            if other is None:
                message = f"there is no line of one bend in {strides} strides between these fences"
                yield found(
                    plan, NAME, Severity.CAUTION, message, path, "leave it out", source=SOURCE,
                    at=on_leg(leg),
                )  # fmt: skip
                continue
            length, asked = other.way.curve.length, other.asked
            off = max(asked.low_m - length, length - asked.high_m)
            if off <= SLACK.value:
                continue
            longer = length > asked.high_m
            message = (
                f"in {strides} strides this is no choice: the {'shortest' if longer else 'longest'}"
                f" line is {say(plan, length)}, {say(plan, off)} too "
                f"{'long' if longer else 'short'}, and rides as {other.rides.words}"
            )
            hint = "leave that count out, or place the fences further round from each other"
            yield found(
                plan, NAME, Severity.CAUTION, message, path, hint, figure=length,
                limit=asked.high_m if longer else asked.low_m, source=asked.range_source,
                at=on_leg(leg),
            )  # fmt: skip


def _on_a_line(plan: Plan, leg: PlanLeg) -> Iterable[Diagnostic]:
    limits, normal = jumping.stretch(), plan.terms.horses.stride_m
    for strides in (leg.strides or 0, *(other.strides for other in leg.others)):
        if strides < 1:
            continue
        needs = version(leg.ridden.ground, strides, normal)
        if needs.possible:
            continue
        limit = limits.high if needs.share > 1 else limits.low
        message = (
            f"in {strides} strides this is no choice: each would be "
            f"{say(plan, needs.stride_m)}, {needs.share:.0%} of normal"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, leg.path, "leave that count out",
            figure=needs.share, limit=limit, source=limits.source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(NAME, _check)
