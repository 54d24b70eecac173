"""jumped-from-behind: a fence jumped from a side that it is not built for.

A stop for a kind that rises one way only; a caution where a ground line is missing behind.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.fences.kind import with_article
from diagram.planning import Plan

NAME = "jumped-from-behind"
SOURCE = (
    "published (web article) [S60] on the false ground line of an ascending oxer; "
    "[S37] on a ground pole on each side of a fence jumped both ways"
)


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        if not crossing.jump.from_behind or fence.facts.from_behind == "yes":
            continue
        if fence.facts.from_behind == "no":
            message = f"{fence.name} is {with_article(fence.kind.name)}: {fence.facts.why_not}"
            hint = "turn the fence round, or build it as a vertical"
            yield found(plan, NAME, Severity.STOP, message, crossing.jump.path, hint, source=SOURCE)
        elif fence.measures.ground_line != "both sides":
            message = f"{fence.name} is jumped from behind and has no ground line there"
            hint = "add ground line: both sides"
            yield found(
                plan, NAME, Severity.CAUTION, message, crossing.jump.path, hint, source=SOURCE
            )


RULE = Rule(NAME, _check)
