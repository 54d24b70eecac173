"""too-little-straight: not enough straight strides between a fence and the turn beside it."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.measures import (
    SAME_STRIDE,
    bends_noticeably,
    straight_after,
    straight_before,
    straight_strides,
)
from diagram.planning import Plan
from diagram.trade import gaits

NAME = "too-little-straight"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    wanted = gaits.straight_strides()
    canter = plan.limits.canter
    for leg in plan.legs:
        if not bends_noticeably(leg.curve) or leg.ridden.stretches[0].gait != "canter":
            continue
        if leg.link.way is not None and leg.link.way.round:
            continue
        ends = []
        bend = leg.shape == "bend"
        if leg.first is not None and not leg.first.fence.fence.kind.ridden_over:
            least = wanted.in_a_bending_line if bend else wanted.after.least
            s = straight_after(leg.curve)
            ends.append(("after", leg.first.jump.fence, s, s, least))
        if leg.second is not None and not leg.second.fence.fence.kind.ridden_over:
            least = wanted.in_a_bending_line if bend else wanted.before.least
            s = straight_before(leg.curve)
            ends.append(("before", leg.second.jump.fence, s, leg.track_m - s, least))
        for where, fence, metres, place, least in ends:
            strides = straight_strides(metres, canter)
            if strides >= least.value - SAME_STRIDE:
                continue
            message = (
                f"{strides:.1f} straight strides {where} {fence}; {least.value:.0f} are wanted"
            )
            hint = "ride the turn wider, or give the bend more room"
            severity = Severity.CAUTION if strides < 1 - SAME_STRIDE else Severity.NOTE
            yield found(
                plan, NAME, severity, message, leg.path, hint,
                figure=strides, limit=least.value, source=least.source, at=on_leg(leg, place),
            )  # fmt: skip


RULE = Rule(NAME, _check)
