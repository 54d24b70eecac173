"""fence-in-the-gateway: a fence that stands where horses come in and go out."""

from collections.abc import Iterable

import numpy as np

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.region import segment_distances
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "fence-in-the-gateway"
STOP_UNDER = Limit(NAME, "stop under")
CAUTION_UNDER = Limit(NAME, "caution under")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    gate = plan.arena.gate
    if gate is None:
        return
    middle = np.array([gate.middle])
    for placed in plan.fences:
        if placed.fence.kind.ridden_over:
            continue
        a, b = (np.array([end]) for end in placed.span)
        gap = float(segment_distances(middle, a, b)[0, 0]) - placed.fence.depth_m / 2
        if gap >= CAUTION_UNDER.value - 0.005:
            continue
        stop = gap < STOP_UNDER.value - 0.005
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION,
            f"{placed.name} stands {say(plan, max(gap, 0.0))} from the gate", placed.fence.path[:2],
            "leave the way in free", key=True, figure=gap, limit=CAUTION_UNDER.value,
            source=CAUTION_UNDER.source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
