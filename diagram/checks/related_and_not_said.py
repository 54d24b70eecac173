"""related-and-not-said: two fences joined by a turn that rides as a line, in no count of strides.

A turn so slight and so short is ridden in strides, whatever the file calls it.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.distances import highest_m
from diagram.judging.rows import is_pole
from diagram.planning import Plan, PlanLeg
from diagram.trade.distances import RidesAs
from diagram.trade.limits import Limit
from diagram.trade.settings import chosen

NAME = "related-and-not-said"
SETTING = "related up to"
TURNED = Limit(NAME, "turned")
LONGER = Limit(NAME, "longer than straight by")
STOP_FROM = Limit(NAME, "stop from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    most = chosen(SETTING, plan.definition.judged_by)
    for leg in plan.legs:
        rides = _rides(leg)
        if rides is None or rides.strides > most.value:
            continue
        name = leg.second.fence.name if leg.second else ""
        measure = say(plan, leg.track_m)
        if rides.fits:
            message = f"{measure} to {name} is a line of {rides.strides}, and not said to be one"
            yield found(
                plan, NAME, Severity.NOTE, message, leg.path,
                f"write line: or bend: with {rides.strides} strides", figure=leg.track_m,
                limit=leg.resolved.distance(rides.strides).aim_m, source=most.figure.source,
                at=on_leg(leg),
            )  # fmt: skip
            continue
        stop = highest_m(leg) >= STOP_FROM.value - 0.005
        nearer = leg.resolved.distance(rides.strides)
        message = f"{measure} to {name} is a line, and rides as {rides.words}"
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, leg.path,
            f"make it {say(plan, nearer.aim_m)}, or put {name} out of line",
            figure=leg.track_m, limit=nearer.limit(leg.track_m > nearer.aim_m)[0],
            source=most.figure.source, at=on_leg(leg),
        )  # fmt: skip


def _rides(leg: PlanLeg) -> RidesAs | None:
    """As what a turn rides that is a line to whoever sits on the horse; None where it is none."""
    if leg.shape not in ("turn", "rollback") or leg.first is None or leg.second is None:
        return None
    if is_pole(leg.first) or is_pole(leg.second) or leg.link.circles:
        return None
    way = leg.link.way
    if way is not None and way.transition is not None:
        return None
    turned = sum(abs(piece.turn) for piece in leg.curve.pieces)
    if turned > TURNED.value or leg.track_m > leg.straight_m * (1 + LONGER.value):
        return None
    return leg.resolved.rides_as(leg.track_m)


RULE = Rule(NAME, _check, ("settings/related up to",))
