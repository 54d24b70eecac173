"""no-room-for-change: too few strides before a turn or a fence for the change of lead there."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "no-room-for-change"
SLACK = Limit(NAME, "slack")
NEW_LEAD = Limit(NAME, "strides on the new lead")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        for change in leg.ridden.changes:
            if change.kind is None:
                continue
            change_in = gaits.transition(f"{change.kind} change")
            # Before a fence the horse must have found its canter on the new lead as well.
            wanted = change_in.low + (0 if change.before_turn else NEW_LEAD.value)
            if change.strides >= wanted - SLACK.value:
                continue
            before = "the turn" if change.before_turn else "the take-off"
            message = (
                f"{strides_text(change.strides)} before {before} for a {change.kind} change; "
                f"{wanted:.0f} are wanted"
            )
            further = "ride straight on for longer before the turn"
            if not change.before_turn:
                further = "give the line more strides"
            hint = f"land on the {change.to} lead, or {further}"
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=change.strides,
                limit=wanted, source=change_in.source, at=on_leg(leg, change.at_m),
            )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    (
        "gaits/transitions/flying change",
        "gaits/transitions/simple change",
    ),
)
