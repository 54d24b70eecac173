"""lead-against-the-turn: the lead carried is the outside one, and no change is asked for."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "lead-against-the-turn"
SOURCE = "published (web article) [S45]: on a turn the lead is the inside one"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        ridden, way = leg.ridden, leg.link.way
        if ridden.hand is None or ridden.lead is None or (way and way.counter):
            continue
        if ridden.change is None and ridden.lead != ridden.hand:
            message = f"the turn goes {ridden.hand} on the {ridden.lead} lead"
            hint = (
                f"land on the {ridden.hand} lead, add flying change or simple change, "
                "or write counter-canter if it is meant"
            )
            yield found(plan, NAME, Severity.CAUTION, message, leg.path, hint, source=SOURCE)


RULE = Rule(NAME, _check)
