"""false-ground-line: a fence jumped from behind with no ground line there, or one beyond it.

A ground line on the far side only draws the eye past the pole: the horse comes too close. Before
a spread that is a stop. A wall is its own ground line, and wants none or two.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_spread
from diagram.planning import Plan

NAME = "false-ground-line"
SOURCE = (
    "published (web article) [S37]: article on jumping straight and at an angle; a ground pole "
    "on each side of a fence jumped both ways"
)


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        line, from_behind = fence.measures.ground_line, fence.facts.from_behind
        if not crossing.jump.from_behind or fence.kind.ridden_over or from_behind == "no":
            continue
        if line == "both sides" or (line == "none" and from_behind == "yes"):
            continue
        if line == "front":
            message = f"{fence.name} is jumped the other way with its ground line beyond it"
        else:
            message = f"{fence.name} is jumped the other way and has no ground line there"
        false = line == "front" and is_spread(crossing)
        yield found(
            plan, NAME, Severity.STOP if false else Severity.CAUTION, message, crossing.jump.path,
            "add ground line: both sides", source=SOURCE, at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
