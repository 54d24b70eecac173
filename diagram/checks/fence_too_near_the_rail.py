"""fence-too-near-the-rail: a fence that stands outside the arena or against its rail."""

from collections.abc import Iterable

import numpy as np

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits

NAME = "fence-too-near-the-rail"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    keep = gaits.clearance("fence to rail")
    for fence in plan.fences:
        depth = float(plan.arena.region.inside(np.array(fence.outline)).min())
        if depth >= keep.low - 0.01:
            continue
        outside, off = say(plan, -depth), say(plan, depth)
        where = f"{outside} outside the arena" if depth < 0 else f"{off} from the rail"
        yield found(
            plan, NAME, Severity.STOP if depth < 0 else Severity.CAUTION,
            f"{fence.name} stands {where}", fence.fence.path[:2], "move it in",
            figure=depth, limit=keep.low, source=keep.source, key=True,
            at=fence.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check, ("gaits/clearances/fence to rail",))
