"""fences-too-near: two fences with less ground between than a horse can use."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.adjustments import adjustments
from diagram.trade.schooling import schooling
from diagram.units import length_text

NAME = "fences-too-near"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    figure = schooling().closest_fences
    share = plan.terms.horses.stride_m / adjustments().low_fences.stride.value
    least = figure.value * share
    for leg in plan.legs:
        if leg.first is None or leg.second is None or leg.track_m >= least - 0.005:
            continue
        if any(c.fence.fence.kind.ridden_over for c in (leg.first, leg.second)):
            continue
        message = (
            f"{length_text(leg.track_m, 'both')} between "
            f"{leg.first.fence.name} and {leg.second.fence.name}: a horse cannot land and take off"
        )
        hint = f"give them {length_text(least, 'both')} or more, or take one away"
        yield found(
            plan, NAME, Severity.STOP, message, leg.path, hint, figure=leg.track_m, limit=least,
            source=figure.source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(NAME, _check)
