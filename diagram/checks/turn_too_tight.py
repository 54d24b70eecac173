"""turn-too-tight: a bend of the track tighter than the gait and the horses allow.

Under the floor for the gait it is a stop, else a caution.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade import gaits

NAME = "turn-too-tight"
SLACK_M = 0.05


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    for leg in plan.legs:
        gait = leg.ridden.stretches[0].gait
        least = gaits.turn(gait).least(experience)
        floor = gaits.turn(gait).floor
        radius = leg.min_radius_m
        if radius >= least.value - SLACK_M:
            continue
        under = radius < floor.value - SLACK_M
        message = (
            f"a turn of {radius:.1f} m radius in {gait}; "
            f"{experience} horses want {least.value:.1f} m"
        )
        hint = "move the fences apart, ride the turn wider, or come back a gait"
        yield found(
            plan, NAME, Severity.STOP if under else Severity.CAUTION, message, leg.path, hint,
            figure=radius, limit=least.value, source=least.source,
        )  # fmt: skip


RULE = Rule(NAME, _check)
