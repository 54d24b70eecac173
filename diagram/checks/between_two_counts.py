"""between-two-counts: a measured distance that rides as neither one stride count nor the next.

A stop inside a combination and between big fences, where there is no room to mend it; over
poles, where nothing is jumped, a note, unless they lie too near to be stepped over or too far
apart for one step.
"""

from collections.abc import Iterable

from diagram.checks.fences_too_near import least_between
from diagram.checks.rule import Rule, found, of_size, on_leg, say, say_off
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.distances import highest_m, known_counts
from diagram.planning import Plan, PlanLeg
from diagram.trade.bands import is_jumped
from diagram.trade.limits import Limit

NAME = "between-two-counts"
LOW_FENCES = Limit(NAME, "low fences to")
COMBINATION = Limit(NAME, "stop in a combination from")
BIG_FENCES = Limit(NAME, "stop between fences from")
NEAR = Limit(NAME, "a combination within")
POLES = Limit(NAME, "poles nearer than")
POLES_FURTHER = Limit(NAME, "poles further than")
STEPS = Limit(NAME, "one step up to")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        # Where strides are said, that the distance is not theirs is for distance-off to say.
        if leg.rides is None or leg.asked is not None or known_counts(plan, leg):
            continue
        if leg.shape not in ("line", "bend") or leg.first is None or leg.second is None:
            continue
        if leg.track_m < least_between(plan, leg):
            continue
        step = leg.resolved.distance(0)
        for_a_step = _poles(leg) and leg.track_m <= step.limit(longer=True)[0] * STEPS.value
        nearer = step if for_a_step else leg.resolved.distance(leg.rides.strides)
        limit, source = nearer.limit(leg.track_m > nearer.aim_m)
        message = f"{say(plan, leg.track_m)} rides as {leg.rides.words}"
        if for_a_step:
            way = "short" if leg.track_m < limit else "long"
            off = say_off(plan, leg.track_m - limit)
            message = (
                f"{say(plan, leg.track_m)} from pole to pole is {off} too {way} for one step of "
                f"{leg.link.gait}, for {of_size(plan)}"
            )
        hint = f"make it {say(plan, nearer.aim_m)}"
        yield found(
            plan, NAME, _severity(leg, limit), message, leg.path, hint, figure=leg.track_m,
            limit=limit, source=source, at=on_leg(leg),
        )  # fmt: skip


def _severity(leg: PlanLeg, limit: float) -> Severity:
    high = highest_m(leg)
    if high <= LOW_FENCES.value:
        # Under so little of the shortest step a horse treads on them; over so much of the
        # longest it reaches for the next one, or puts a foot down between.
        near, far = limit * POLES.value, limit * POLES_FURTHER.value
        reaches = _poles(leg) and far < leg.track_m <= limit * STEPS.value
        return Severity.CAUTION if leg.track_m < near or reaches else Severity.NOTE
    near = leg.link.inner or (leg.shape == "line" and leg.track_m <= NEAR.value)
    stop = COMBINATION if near else BIG_FENCES
    return Severity.STOP if high >= stop.value - 0.005 else Severity.CAUTION


def _poles(leg: PlanLeg) -> bool:
    ends = [end.fence.fence.for_distances for end in (leg.first, leg.second) if end is not None]
    return len(ends) > 1 and not any(is_jumped(end) for end in ends)


RULE = Rule(NAME, _check, ("bands/rows",))
