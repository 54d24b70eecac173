"""false-ground-line: a fence jumped from behind with no ground line there, or one beyond it.

A ground line on the far side only draws the eye past the pole: the horse comes too close.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "false-ground-line"
SOURCE = (
    "published (web article) [S37]: article on jumping straight and at an angle; a ground pole "
    "on each side of a fence jumped both ways"
)


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        line = fence.measures.ground_line
        wants_one = fence.facts.from_behind == "with a ground line"
        if not crossing.jump.from_behind or not wants_one or line == "both sides":
            continue
        if line == "front":
            message = f"{fence.name} is jumped from behind with its ground line beyond it"
        else:
            message = f"{fence.name} is jumped from behind and has no ground line there"
        yield found(
            plan, NAME, Severity.CAUTION, message, crossing.jump.path,
            "add ground line: both sides", source=SOURCE, at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
