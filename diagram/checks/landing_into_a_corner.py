"""landing-into-a-corner: too few strides straight ahead of a fence before the rail."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.measures import bends_noticeably
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit
from diagram.trade.schooling import schooling

NAME = "landing-into-a-corner"
SLACK = Limit(NAME, "slack")
STOP_UNDER = Limit(NAME, "stop under")
WIDE = Limit(NAME, "wide oxer last")
FOR_A_HALT = Limit(NAME, "for a halt")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    wanted = schooling().strides_to_the_rail.of(plan.terms.horses.experience)
    keep, canter = gaits.clearance("track to rail").low, plan.limits.canter
    for leg in plan.legs:
        if leg.first is None or leg.shape in ("line", "bend"):
            continue
        if leg.first.fence.fence.kind.ridden_over:
            continue
        leave = leg.first.leave
        ahead = plan.arena.region.ray_length(leave.point, leave.direction) - keep
        strides = max(0.0, (ahead - leg.ridden.ground.landing_m) / canter.stride_m)
        wide = leg.first.fence.fence.depth_m > WIDE.value and not leg.first.jump.from_behind
        ends_in_halt = leg.second is None and leg.ridden.stretches[-1].gait == "halt"
        halts = ends_in_halt and not bends_noticeably(leg.curve)
        # A wide oxer carries a pair on: it wants a stride more. So does a halt.
        most = wanted.value + wide + (FOR_A_HALT.value if halts else 0)
        if strides >= most - SLACK.value:
            continue
        message = (
            f"{strides_text(strides)} straight ahead of {leg.first.fence.name} before the rail; "
            f"{most:.0f} are wanted{' to halt' * halts}"
        )
        yield found(
            plan, NAME, Severity.STOP if strides < STOP_UNDER.value else Severity.CAUTION, message,
            leg.first.jump.path, "move it back from the rail, or turn it", figure=strides,
            limit=most, source=wanted.source, at=leave.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/strides to the rail",))
