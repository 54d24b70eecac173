"""lead-against-the-turn: a turn on the outside lead with no change asked for, or the reverse.

The reverse is counter-canter that is asked for where the lead carried is the inside one.
"""

from collections.abc import Iterable

from diagram.checks.rule import Path, Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.ride.leads import other

NAME = "lead-against-the-turn"
SOURCE = "published (web article) [S45]: encyclopaedia article on the gaits"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        way = leg.link.way
        counter = bool(way and way.counter)
        for change in leg.ridden.changes:
            if change.kind is not None:
                continue
            carried = other(change.to)
            related: list[tuple[Path, str]] = []
            said_before = leg.ridden.lead_said and carried == leg.ridden.lead
            if leg.ridden.lead_said and said_before and leg.ridden.lead_said != leg.path:
                related = [(leg.ridden.lead_said, f"the {carried} lead comes from here")]
            if counter:
                message = f"counter-canter is asked for, and {carried} is the inside lead here"
                hint = f"land on the {change.to} lead, or leave counter-canter out"
            else:
                message = f"the turn goes {change.to} on the {carried} lead"
                hint = (
                    f"land on the {change.to} lead, or add flying change or simple change "
                    f"({change.strides:.1f} strides for it before the turn), "
                    "or write counter-canter if it is meant"
                )
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path, hint, source=SOURCE,
                at=on_leg(leg, change.at_m), related=related,
            )  # fmt: skip


RULE = Rule(NAME, _check)
