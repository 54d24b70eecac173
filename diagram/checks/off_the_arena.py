"""off-the-arena: the track leaves the arena, or runs too close to the rail."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "off-the-arena"
SLACK = Limit(NAME, "slack")
STOP_UNDER = Limit(NAME, "stop under")
STEP_M = 0.25


def _check(plan: Plan) -> Iterable[Diagnostic]:
    keep = gaits.clearance("track to rail")
    for leg in plan.legs:
        points = leg.curve.points(STEP_M)
        depths = plan.arena.region.inside(points)
        nearest = int(depths.argmin())
        depth = float(depths[nearest])
        if depth >= keep.low - SLACK.value:
            continue
        if depth < 0:
            message = f"the track leaves the arena by {say(plan, -depth)}"
        else:
            message = f"the track comes within {say(plan, depth)} of the rail"
        hint = "move the fences in, turn the exercise round, or take a larger arena"
        severity = Severity.STOP if depth < STOP_UNDER.value else Severity.CAUTION
        yield found(
            plan, NAME, severity, message, leg.path, hint,
            figure=depth, limit=keep.low, source=keep.source,
            at=(float(points[nearest][0]), float(points[nearest][1])),
        )  # fmt: skip


RULE = Rule(NAME, _check, ("gaits/clearances/track to rail",))
