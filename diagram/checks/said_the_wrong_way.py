"""said-the-wrong-way: a line said to run towards the gate, or away, that does not.

What makes a line long on the way out makes it short on the way back. The same of a slope: lines
that run against each other cannot both be uphill.
"""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan, PlanLeg
from diagram.trade.limits import Limit

NAME = "said-the-wrong-way"
AGAINST = Limit(NAME, "against")
ON_ITS_STEP = "say it in the step of the line: line: 5 strides, "
OTHER = {
    "towards the gate": "away from the gate", "away from the gate": "towards the gate",
    "uphill": "downhill", "downhill": "uphill",
}  # fmt: skip


def _check(plan: Plan) -> Iterable[Diagnostic]:
    sloped: list[PlanLeg] = []
    for leg in plan.legs:
        said = leg.resolved.terms.conditions
        if leg.asked is None or leg.first is None or leg.second is None:
            continue
        if said.gate in OTHER and plan.arena.gate is not None:
            off = abs(math.remainder(_heading(leg) - _home(plan, leg), 2 * math.pi))
            away = off if said.gate == "towards the gate" else math.pi - off
            if away > AGAINST.value:
                yield _wrong(plan, leg, said.gate, away)
        if said.slope not in OTHER:
            continue
        for before in sloped:
            off = abs(math.remainder(_heading(leg) - _heading(before), 2 * math.pi))
            if before.resolved.terms.conditions.slope == said.slope and off > AGAINST.value:
                yield _wrong(plan, leg, said.slope, off)
                break
        sloped.append(leg)


def _heading(leg: PlanLeg) -> float:
    (x0, y0), (x1, y1) = leg.curve.start.point, leg.curve.end.point
    return math.atan2(y1 - y0, x1 - x0)


def _home(plan: Plan, leg: PlanLeg) -> float:
    """The direction of the gate from the middle of a line."""
    assert plan.arena.gate is not None
    (x, y), (to_x, to_y) = on_leg(leg), plan.arena.gate.middle
    return math.atan2(to_y - y, to_x - x)


def _wrong(plan: Plan, leg: PlanLeg, said: str, off: float) -> Diagnostic:
    assert leg.first is not None
    assert leg.second is not None
    names = f"{leg.first.fence.name} to {leg.second.fence.name}"
    message = f"{names} is reckoned as {said}, and runs the other way"
    return found(
        plan, NAME, Severity.CAUTION, message, leg.path, ON_ITS_STEP + OTHER[said],
        figure=off, limit=AGAINST.value, source=AGAINST.source, at=on_leg(leg),
    )  # fmt: skip


RULE = Rule(NAME, _check)
