"""no-choice: a bend that is said to ride in other strides as well, and has no line for them.

A choice of lines is one when each rides in its count: its length lies in the range for so many
strides.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "no-choice"
SOURCE = "derived: every line of one bend between the two fences"
SLACK_M = 0.005


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
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
            if off <= SLACK_M:
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


RULE = Rule(NAME, _check)
