"""cross-rail-too-high: a cross whose ends would lie higher than standards hold them."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "cross-rail-too-high"
CAUTION_OVER = Limit(NAME, "caution over")
STOP_OVER = Limit(NAME, "stop over")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for placed in fences_of(plan):
        height = placed.fence.measures.height_m
        if placed.fence.facts.group != "cross-rail" or height <= CAUTION_OVER.value + 0.005:
            continue
        stop = height > STOP_OVER.value + 0.005
        limit = STOP_OVER if stop else CAUTION_OVER
        message = f"{placed.name} crosses at {say(plan, height)}: its ends lie twice as high"
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, placed.fence.path,
            f"no more than {say(plan, CAUTION_OVER.value)}, or a vertical", figure=height,
            limit=limit.value, source=limit.source, at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
