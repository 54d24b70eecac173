"""combination-outside-limits: elements that stand as no rule book has them.

A note, for no two bodies agree; what rides as no count at all is told of by the checks of the
distance. What the stride table of the exercise has for the strides said is published too, and is
left alone. Grids from trot and bounces are schooling, and no rule is about them.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.distances import misses_by
from diagram.planning import Plan, PlanLeg
from diagram.trade.combinations import CombinationLimit, combination_limits

NAME = "combination-outside-limits"
RULES = "published (rule)"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    limits = [x for x in combination_limits(plan.terms.horses.size) if x.source.startswith(RULES)]
    whole = [limit for limit in limits if limit.horses == "any"]
    classes = [limit for limit in limits if limit.horses != "any"]
    for leg in plan.legs:
        if not _is_combination(leg) or _printed(leg) or _told(plan, leg):
            continue
        outside = [limit for limit in whole if not limit.allows(leg.track_m)]
        if outside:
            message = f"{say(plan, leg.track_m)} between elements: no combination is set so"
            yield _found(plan, leg, Severity.NOTE, message, outside[0])
        elif classes and not any(limit.allows(leg.track_m) for limit in classes):
            message = f"{say(plan, leg.track_m)} between elements: a class would not have it"
            yield _found(plan, leg, Severity.NOTE, message, classes[0])


def _is_combination(leg: PlanLeg) -> bool:
    if not leg.link.inner or leg.link.gait != "canter" or leg.first is None or leg.second is None:
        return False
    poles = any(c.fence.fence.kind.ridden_over for c in (leg.first, leg.second))
    return not poles and leg.strides != 0


def _told(plan: Plan, leg: PlanLeg) -> bool:
    """Whether the distance itself is told of."""
    if leg.asked is not None:
        return abs(misses_by(plan, leg, leg.asked)) > 0.005
    return leg.rides is None or not leg.rides.fits


def _printed(leg: PlanLeg) -> bool:
    """Whether the stride table of the exercise has the distance."""
    asked = leg.asked
    return asked is not None and asked.low_m - 0.005 <= leg.track_m <= asked.high_m + 0.005


def _found(
    plan: Plan, leg: PlanLeg, severity: Severity, message: str, limit: CombinationLimit
) -> Diagnostic:
    ends = [end for pair in limit.distances for end in pair]
    nearest = min(ends, key=lambda end: abs(end - leg.track_m))
    ranges = " or ".join(f"{say(plan, low)} to {say(plan, high)}" for low, high in limit.distances)
    return found(
        plan, NAME, severity, message, leg.path, f"set it from {ranges} ({limit.body})",
        figure=leg.track_m, limit=nearest, source=limit.source, at=on_leg(leg),
    )  # fmt: skip


RULE = Rule(NAME, _check, ("combinations/limits",))
