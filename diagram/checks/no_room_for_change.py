"""no-room-for-change: too few strides between landing and turn for the change of lead there."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "no-room-for-change"
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        for change in leg.ridden.changes:
            if change.kind is None:
                continue
            wanted = gaits.transition(f"{change.kind} change")
            if change.strides >= wanted.low - SLACK.value:
                continue
            before = "the turn" if change.before_turn else "the take-off"
            message = (
                f"{change.strides:.1f} strides before {before} for a {change.kind} change; "
                f"{wanted.low:.0f} are wanted"
            )
            hint = f"land on the {change.to} lead, or ride straight on for longer before the turn"
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=change.strides,
                limit=wanted.low, source=wanted.source, at=on_leg(leg, change.at_m),
            )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    (
        "gaits/transitions/flying change",
        "gaits/transitions/simple change",
    ),
)
