"""line-not-straight: two fences of a straight line do not stand in line."""

from __future__ import annotations

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.bends import IN_LINE_M
from diagram.planning import Plan

NAME = "line-not-straight"
SOURCE = "common practice (no source): what a tape can set"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        if leg.shape != "line" or not math.isfinite(leg.min_radius_m):
            continue
        if leg.first is None or leg.second is None:
            continue
        local = leg.second.enter.seen_from(leg.first.leave)
        message = (
            f"{leg.second.jump.fence} stands {abs(local.y):.2f} m to the "
            f"{'left' if local.y > 0 else 'right'} of the line from {leg.first.jump.fence}, "
            f"and is turned {abs(math.degrees(local.heading)):.1f}° from it"
        )
        hint = "write bend: for a bending line, or place it: placed: ... beyond ..."
        severity = Severity.STOP if local.x <= 0 else Severity.CAUTION
        yield found(
            plan, NAME, severity, message, leg.path, hint, figure=abs(local.y), limit=IN_LINE_M,
            source=SOURCE, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(NAME, _check)
