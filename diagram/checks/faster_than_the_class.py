"""faster-than-the-class: a speed over that at which fences so high are ridden in classes."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, horses_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.units import speed_text

NAME = "faster-than-the-class"
MOST = Limit(NAME, "speed")
STOP_OVER = Limit(NAME, "stop over")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    said = plan.definition.speed
    if said is None:
        return
    most = MOST.of(plan.terms.horses.size, plan.terms.horses.experience)
    if said <= most.value + 0.01:
        return
    stop = said > STOP_OVER.value + 0.01
    limit = STOP_OVER.of() if stop else most
    yield found(
        plan, NAME, Severity.STOP if stop else Severity.CAUTION,
        f"{speed_text(said)}; {horses_text(plan)} jump at {speed_text(most.value)} at most",
        ("speed",), f"write {speed_text(most.value)} or less", figure=said, limit=limit.value,
        source=limit.source, at=plan.fences[0].pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check)
