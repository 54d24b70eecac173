"""line-not-straight: two fences of a straight line do not stand in line."""

from __future__ import annotations

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.pose import Pose
from diagram.path.bends import IN_LINE_M, IN_LINE_RAD
from diagram.planning import Plan

NAME = "line-not-straight"
SOURCE = "common practice (no source): what a tape can set"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        if leg.shape != "line" or not math.isfinite(leg.min_radius_m):
            continue
        if leg.first is None or leg.second is None:
            continue
        if leg.link.circles and _in_line(leg.second.enter.seen_from(leg.first.leave)):
            continue
        local = leg.second.enter.seen_from(leg.first.leave)
        message = (
            f"{leg.second.jump.fence} stands {say(plan, abs(local.y))} to the "
            f"{'left' if local.y > 0 else 'right'} of the line from {leg.first.jump.fence}, "
            f"and is turned {abs(math.degrees(local.heading)):.1f}° from it"
        )
        hint = "write bend: for a bending line, or place it: placed: ... beyond ..."
        if abs(local.y) < IN_LINE_M:
            message = (
                f"{leg.second.jump.fence} is turned {abs(math.degrees(local.heading)):.1f}° from "
                f"the line from {leg.first.jump.fence}"
            )
        if leg.link.inner:
            # Jumped on an angle, its fences no longer lie one behind the other.
            message = (
                f"{leg.second.jump.fence} lies {say(plan, abs(local.y))} to the "
                f"{'left' if local.y > 0 else 'right'} of the way on from {leg.first.jump.fence}"
            )
            hint = "ride a combination straight, or write its fences apart from each other"
        severity = Severity.STOP if local.x <= 0 else Severity.CAUTION
        yield found(
            plan, NAME, severity, message, leg.path, hint, figure=abs(local.y), limit=IN_LINE_M,
            source=SOURCE, at=on_leg(leg),
        )  # fmt: skip


def _in_line(local: Pose) -> bool:
    """Whether the second fence stands in line, so that only a circle bends the way there."""
    return local.x > 0 and abs(local.y) < IN_LINE_M and abs(local.heading) < IN_LINE_RAD


RULE = Rule(
    NAME,
    _check,
    tells_of=("distance-off", "lead-against-the-turn", "too-little-straight", "turn-too-tight"),
)
