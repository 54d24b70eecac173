"""turn-too-tight: a circle gone round, over two strides, tighter than gait and horses allow.

Under the floor for the gait it is a stop, else a caution. The way in and the way out are left
to the rider, who may ride them wider than they are drawn: a little short there is a note.
"""

from collections.abc import Iterable

from msgspec.structs import replace

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.limits import GaitLimits, floor_radius, least_radius
from diagram.path.measures import SAME_RADIUS_M, tightness
from diagram.path.natural_turn import AskedTurn, natural_turns
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits
from diagram.trade.horses import Horses
from diagram.trade.limits import Limit

NAME = "turn-too-tight"
LEFT_TO_THE_RIDER = Limit(NAME, "left to the rider")
SLACK_AT_THE_RAIL = Limit("off-the-arena", "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    horses = plan.terms.horses
    known: dict[AskedTurn, str] = {}
    for leg in plan.legs:
        gait = leg.turning_gait
        least, floor = least_radius(gait, horses), floor_radius(gait, horses)
        tight = leg.tightness(plan.limits)
        radius = tight.radius_m
        if radius >= least.value - SAME_RADIUS_M:
            continue
        under = radius < floor.value - SAME_RADIUS_M
        own = leg.first is None or leg.second is None
        little = own and radius >= least.value * LEFT_TO_THE_RIDER.value
        severity = Severity.NOTE if little else Severity.STOP if under else Severity.CAUTION
        message = (
            f"a turn of {say(plan, radius)} radius in {gait}; {_who(horses)} want "
            f"{say(plan, least.value)}"
        )
        hint = "move the fences apart, ride the turn wider, or come back a gait"
        circle = _said_circle(leg, radius)
        if circle is not None:
            wide = say(plan, 2 * least.value)
            message = f"a circle of {say(plan, circle)} in {gait}; {_who(horses)} want {wide}"
            hint = "ride a larger circle, or come back a gait before it"
        elif under and not plan.layout.shortages:
            # Where nothing fits, what it would be to the other hand is told to nobody.
            hint = _other_hand(plan, leg, known) or hint
        yield found(
            plan, NAME, severity, message, leg.path, hint,
            figure=radius, limit=least.value, source=least.source, at=on_leg(leg, tight.at_m),
        )  # fmt: skip


def _who(horses: Horses) -> str:
    return f"{horses.experience} {'horses' if horses.size == 'horse' else 'ponies'}"


def _said_circle(leg: PlanLeg, radius: float) -> float | None:
    """Metres across the circle on this way that is said to be so small; None where none is."""
    said = [circle.diameter for circle in leg.link.circles if circle.diameter]
    return next((m for m in said if m / 2 <= radius + SAME_RADIUS_M), None)


def _other_hand(plan: Plan, leg: PlanLeg, known: dict[AskedTurn, str]) -> str:
    """What the same turn would be to the other hand, worked out once for all rounds; nothing if
    no better."""
    way = leg.link.way
    if leg.first is None or leg.second is None or way is None or way.shape != "turn":
        return ""
    limits = plan.limits.for_leg(leg.resolved)
    manner = replace(limits.manner, wide=not way.tight)
    asked = AskedTurn(leg.first.leave, leg.second.enter, not way.left, manner)
    if asked not in known:
        known[asked] = _told(plan, asked, limits)
    return known[asked]


def _told(plan: Plan, asked: AskedTurn, limits: GaitLimits) -> str:
    (other,) = natural_turns([asked], plan.room)
    inside = float(plan.arena.region.inside(other.points(0.5)).min())
    radius = tightness(other, limits.stride_m).radius_m
    rail = gaits.clearance("track to rail").low - SLACK_AT_THE_RAIL.value
    if radius < limits.floor_radius or inside < rail:
        return "it cannot be ridden to either hand from there: move or turn one of the fences"
    word = "left" if asked.left else "right"
    return f"to the {word} it would be {say(plan, radius)}: write {word}, or move the fences"


RULE = Rule(NAME, _check, ("gaits/turns", "gaits/clearances/track to rail"))
