"""too-little-straight: not enough straight strides between a fence and the turn beside it.

A little short of what is wanted is a note, for green horses a caution. A wide spread straight
out of a turn is a stop. Round a circle of fences nothing is straight, and for low ones none is
wanted; of higher ones than those of the published circles it is told.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.circles import arc_of
from diagram.judging.distances import highest_m
from diagram.judging.rows import is_spread
from diagram.path.line import Crossing
from diagram.path.measures import (
    SAME_STRIDE,
    bends_noticeably,
    straight_after,
    straight_before,
    straight_strides,
)
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "too-little-straight"
CAUTION_UNDER = Limit(NAME, "caution under")
IN_A_BEND = Limit(NAME, "caution under in a bend")
STOP_UNDER = Limit(NAME, "stop under")
WIDE = Limit(NAME, "a wide spread")
ON_A_CIRCLE = Limit(NAME, "on a circle up to")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    wanted = gaits.straight_strides()
    for leg in plan.legs:
        if not bends_noticeably(leg.curve) or leg.ridden.stretches[0].gait != "canter":
            continue
        if leg.link.way is not None and leg.link.way.round:
            yield from _high_on_a_circle(plan, leg)
            continue
        ends = []
        bend = leg.shape == "bend"
        if leg.first is not None and not leg.first.fence.fence.kind.ridden_over:
            least = wanted.in_a_bending_line if bend else wanted.after.least
            s = straight_after(leg.curve)
            ends.append(("after", leg.first.jump.fence, s, s, least, plan.limits.canter))
        if leg.second is not None and not leg.second.fence.fence.kind.ridden_over:
            least = wanted.in_a_bending_line if bend else wanted.before.least
            s = straight_before(leg.curve)
            # Who comes back to trot counts the way in by what that covers.
            own = plan.limits.for_gait(leg.ridden.stretches[-1].gait)
            ends.append(("before", leg.second.jump.fence, s, leg.track_m - s, least, own))
        for where, fence, metres, place, least, limits in ends:
            strides = straight_strides(metres, limits)
            if strides >= least.value - SAME_STRIDE:
                continue
            message = (
                f"{strides_text(strides)} straight {where} {fence}; {least.value:.0f} "
                f"{'is' if least.value == 1 else 'are'} wanted"
            )
            hint = "ride the turn wide, or give the bend more room"
            wide = where == "before" and leg.second is not None and _wide(leg.second)
            severity = _severity(plan, strides, bend, wide)
            if bend and highest_m(leg) <= ON_A_CIRCLE.value + 0.005:
                # Low fences on one circle are ridden on the arc from fence to fence.
                severity = Severity.NOTE
            yield found(
                plan, NAME, severity, message, leg.path, hint,
                figure=strides, limit=least.value, source=least.source, at=on_leg(leg, place),
            )  # fmt: skip


def _high_on_a_circle(plan: Plan, leg: PlanLeg) -> Iterable[Diagnostic]:
    """A fence that is come to round a circle, higher than those of the published ones."""
    second = leg.second
    if second is None or second.fence.fence.kind.ridden_over or arc_of(leg.resolved) is None:
        return
    height = second.fence.fence.measures.height_m
    wide = _wide(second)
    if height <= ON_A_CIRCLE.value + 0.005 and not wide:
        return
    what = f"{say(plan, height)} high"
    if wide:
        what += f" and {say(plan, second.fence.fence.measures.spread_m)} wide"
    message = (
        f"{second.jump.fence}, {what}, is come to round a circle, with nothing straight before "
        f"it; fences on a circle are {say(plan, ON_A_CIRCLE.value)} at most"
    )
    hint = "lower it, or take it off the circle and leave two straight strides before it"
    yield found(
        plan, NAME, Severity.STOP if wide else Severity.CAUTION, message, leg.path, hint,
        figure=height, limit=ON_A_CIRCLE.value, source=ON_A_CIRCLE.source,
        at=on_leg(leg, leg.track_m),
    )  # fmt: skip


def _severity(plan: Plan, strides: float, bend: bool, wide: bool) -> Severity:
    experience = plan.terms.horses.experience
    if wide and strides < STOP_UNDER.of(experience).value:
        return Severity.STOP
    under = strides < (IN_A_BEND if bend else CAUTION_UNDER).value - SAME_STRIDE
    green = experience == "green" and not bend
    return Severity.CAUTION if under or green else Severity.NOTE


def _wide(crossing: Crossing) -> bool:
    return is_spread(crossing) and crossing.fence.fence.measures.spread_m >= WIDE.value - 0.005


RULE = Rule(NAME, _check, ("gaits/straight strides",))
