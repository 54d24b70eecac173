"""trotted-into-at-canter-length: a line ridden into from trot, left as long as for canter."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.plain import counted
from diagram.planning import Plan, PlanLeg
from diagram.trade.limits import Limit

NAME = "trotted-into-at-canter-length"
HARDLY_ANY = Limit(NAME, "hardly any")


def halfway(plan: Plan, leg: PlanLeg) -> float | None:
    """Metres half-way between the distance from trot and that from canter for its strides.

    None where the leg is not ridden into from trot, or where there is no difference.
    """
    asked = leg.asked
    if asked is None or leg.link.gait == "canter" or leg.first is None or leg.second is None:
        return None
    if any(c.fence.fence.kind.ridden_over for c in (leg.first, leg.second)):
        return None
    fences = leg.first.fence.fence, leg.second.fence.fence
    canter = plan.terms.distance(asked.strides, *fences, "canter", None)
    if canter.aim_m - asked.aim_m < HARDLY_ANY.value:
        return None
    return (asked.aim_m + canter.aim_m) / 2


def left_long(plan: Plan, leg: PlanLeg) -> bool:
    """Whether the track is nearer to the canter distance than to the one from trot."""
    limit = halfway(plan, leg)
    if limit is None or leg.asked is None or leg.track_m <= limit + 0.005:
        return False
    # Deep in a grid some set canter distances; that is no fault, and to be judged as it is.
    return all(band.misses_by(leg.track_m) > 0 for band in leg.asked.published)


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        limit = halfway(plan, leg)
        if leg.asked is None or limit is None or not left_long(plan, leg):
            continue
        strides = leg.asked.strides
        message = (
            f"{say(plan, leg.track_m)} is a canter distance for "
            f"{counted(strides, 'stride')}, and it is ridden into from {leg.link.gait}"
        )
        aim = say(plan, leg.asked.aim_m)
        hint = f"set it at {aim}, or ask for {strides + 1} strides"
        yield found(
            plan, NAME, Severity.STOP if leg.link.inner else Severity.CAUTION, message, leg.path,
            hint, figure=leg.track_m, limit=limit, source=_source(leg),
            at=on_leg(leg),
        )  # fmt: skip


def _source(leg: PlanLeg) -> str:
    """Where the distance from trot comes from: the last part of the sum that it is."""
    parts = leg.asked.parts if leg.asked else ()
    trotted = [part.source for part in parts if part.text.startswith("in from")]
    return (trotted or [part.source for part in parts])[0]


RULE = Rule(NAME, _check, ("adjustments/trotted in",))
