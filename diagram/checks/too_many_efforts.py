"""too-many-efforts: more fences for one horse in one lesson than its experience bears.

A note where the file does not say how often it is ridden and the usual number stands in.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole
from diagram.plain import counted
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.trade.schooling import schooling

NAME = "too-many-efforts"
BIG_FENCES = Limit(NAME, "big fences from")
BIG = Limit(NAME, "share over big fences")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    work, experience = plan.totals.work, plan.terms.horses.experience
    efforts = schooling().efforts.of(experience)
    heights = [c.fence.fence.measures.height_m for c in plan.crossings if not is_pole(c)]
    big = 2 * sum(one >= BIG_FENCES.value - 0.005 for one in heights) > len(heights)
    most = int(efforts.value * (BIG.value if big else 1))
    if work.per_horse <= most:
        return
    message = (
        f"{work.rounds} rounds of {work.per_round} make {work.per_horse} efforts for one horse; "
        f"{most} at most for {experience} horses{' over big fences' if big else ''}"
    )
    fewer = most // work.per_round
    hint = f"ride it {counted(fewer, 'time')}, or leave fences out"
    if not fewer:
        hint = "leave fences out, or ride it in parts on different days"
    path: tuple[str | int, ...] = ("rounds",) if work.rounds_said else ("ride",)
    yield found(
        plan, NAME, Severity.CAUTION if work.rounds_said else Severity.NOTE, message, path, hint,
        figure=float(work.per_horse), limit=float(most),
        source=BIG.source if big else efforts.source,
        at=plan.crossings[-1].pose.point, key=True,
    )  # fmt: skip


RULE = Rule(NAME, _check, ("schooling/efforts",))
