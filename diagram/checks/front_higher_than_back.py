"""front-higher-than-back: a spread whose first pole, as it is jumped, is the higher one.

Written so, a fence is refused outright; this is the oxer with a low front jumped from behind.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "front-higher-than-back"
SOURCE = "published (web article) [S59]: UK article on building jumps, 2016"
A_HOLE_M = 0.01


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        measures = fence.measures
        # Kinds that may never be jumped from behind are told of by jumped-from-behind.
        if not crossing.jump.from_behind or fence.facts.from_behind == "no":
            continue
        if not fence.depth_m or measures.height_m - measures.front_m <= A_HOLE_M:
            continue
        message = (
            f"as it is jumped the front pole of {fence.name} is {say(plan, measures.height_m)} "
            f"and the back one {say(plan, measures.front_m)}"
        )
        yield found(
            plan, NAME, Severity.STOP, message, crossing.jump.path,
            "build it level on top, or jump it from the front", figure=measures.height_m,
            limit=measures.front_m, source=SOURCE, at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
