"""off-the-arena: the track leaves the arena, or runs too close to the rail."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits

NAME = "off-the-arena"
SLACK_M = 0.1
STEP_M = 0.25


def _check(plan: Plan) -> Iterable[Diagnostic]:
    keep = gaits.clearance("track to rail")
    for leg in plan.legs:
        points = leg.curve.points(STEP_M)
        depths = plan.arena.region.inside(points)
        nearest = int(depths.argmin())
        depth = float(depths[nearest])
        if depth >= keep.low - SLACK_M:
            continue
        if depth < 0:
            message = f"the track leaves the arena by {-depth:.1f} m"
        else:
            message = f"the track comes within {depth:.2f} m of the rail"
        hint = "move the fences in, turn the exercise round, or take a larger arena"
        yield found(
            plan, NAME, Severity.STOP if depth < 0.3 else Severity.CAUTION, message, leg.path,
            hint, figure=depth, limit=keep.low, source=keep.source,
            at=(float(points[nearest][0]), float(points[nearest][1])),
        )  # fmt: skip


RULE = Rule(NAME, _check)
