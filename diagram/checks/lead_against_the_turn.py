"""lead-against-the-turn: a turn on the outside lead with no change asked for, or the reverse.

The reverse is counter-canter that is asked for where the lead carried is the inside one. Opening
out a little to the other side, to make room for the turn that is said, is only worth a
look, and so are a way in and a way out that are left to the rider.
"""

from collections.abc import Iterable

from diagram.checks.rule import Path, Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan, PlanLeg
from diagram.ride.leads import ChangeDue, other
from diagram.trade.limits import Limit

NAME = "lead-against-the-turn"
SOURCE = "published (web article) [S45]: encyclopaedia article on the gaits"
OPENED_OUT = Limit(NAME, "opened out")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        way = leg.link.way
        counter, opened = bool(way and way.counter), False
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
            elif way is not None and way.left is not None and way.left != (change.to == "left"):
                if opened:
                    # Out at both ends of one turn is one thing to be told of.
                    continue
                opened = True
                message = f"the turn opens out to the {change.to} on the {carried} lead"
                hint = "give it more room, or write counter-canter: the horse keeps its lead there"
            else:
                message = f"the turn goes {change.to} on the {carried} lead"
                hint = f"land on the {change.to} lead, or "
                if change.strides >= 1:
                    hint += (
                        f"add flying change or simple change ({change.strides:.1f} strides for it "
                        "before the turn), or "
                    )
                hint += "write counter-canter if it is meant"
            severity = Severity.NOTE if _left_to_the_rider(plan, leg, change) else Severity.CAUTION
            yield found(
                plan, NAME, severity, message, leg.path, hint, source=SOURCE,
                at=on_leg(leg, change.at_m), related=related,
            )  # fmt: skip


def _left_to_the_rider(plan: Plan, leg: PlanLeg, change: ChangeDue) -> bool:
    """Whether a turn is one that nobody said: on the way in or out, or to make room for the turn
    said."""
    way, finish = leg.link.way, plan.course.finish
    if way is None and leg.first is None:
        # The way in is left to the rider, who may come from the other side.
        return True
    if way is None and leg.second is None and not finish.circle and not finish.where:
        # So is the way out: who is on the other lead comes back to trot before the turn.
        return True
    if way is None or way.shape != "turn" or way.left is None or way.left == (change.to == "left"):
        return False
    turns = [turn for turn in leg.ridden.turns if turn.hand == change.to]
    return all(abs(turn.angle) <= OPENED_OUT.value for turn in turns)


RULE = Rule(NAME, _check)
