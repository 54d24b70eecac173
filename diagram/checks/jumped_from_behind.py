"""jumped-from-behind: a spread or triple bar jumped from the side it is not built for."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.fences.kind import with_article
from diagram.planning import Plan

NAME = "jumped-from-behind"
SOURCE = (
    "published (web article) [S60]: article on building a horse jump, 2020; the false ground "
    "line of an ascending oxer"
)


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for crossing in plan.crossings:
        fence = crossing.fence.fence
        if not crossing.jump.from_behind or fence.facts.from_behind != "no":
            continue
        message = f"{fence.name} is {with_article(fence.kind.name)}: {fence.facts.why_not}"
        hint = "turn the fence round, or build it as a vertical"
        yield found(
            plan, NAME, Severity.STOP, message, crossing.jump.path, hint, source=SOURCE,
            at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
