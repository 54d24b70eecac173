"""too-many-efforts: more fences for one horse in one lesson than its experience bears.

A note where the file does not say how often it is ridden and the usual number stands in.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.plain import counted
from diagram.planning import Plan
from diagram.trade.schooling import schooling

NAME = "too-many-efforts"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    work, experience = plan.totals.work, plan.terms.horses.experience
    most = schooling().efforts.of(experience)
    if work.per_horse <= most.value:
        return
    message = (
        f"{work.rounds} rounds of {work.per_round} make {work.per_horse} efforts for one horse; "
        f"{most.value:.0f} at most for {experience} horses"
    )
    fewer = int(most.value // work.per_round)
    hint = f"ride it {counted(fewer, 'time')}, or leave fences out"
    if not fewer:
        hint = "leave fences out, or ride it in parts on different days"
    path: tuple[str | int, ...] = ("rounds",) if work.rounds_said else ("ride",)
    yield found(
        plan, NAME, Severity.CAUTION if work.rounds_said else Severity.NOTE, message, path, hint,
        figure=float(work.per_horse), limit=most.value, source=most.source,
        at=plan.crossings[-1].pose.point, key=True,
    )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/efforts",))
