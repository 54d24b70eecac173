"""uneven-poles: a row of poles whose gaps are not alike, or of two that a horse jumps as one."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole
from diagram.planning import Plan, PlanLeg
from diagram.trade.limits import Limit

NAME = "uneven-poles"
UNLIKE = Limit(NAME, "unlike")
ROW = Limit(NAME, "a row within")
PAIR = Limit(NAME, "a pair")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for row in _rows(plan):
        gaps = [leg.track_m for leg in row]
        if max(gaps) - min(gaps) > UNLIKE.value + 0.005:
            odd = max(row, key=lambda leg: abs(leg.track_m - sorted(gaps)[len(gaps) // 2]))
            message = (
                f"the poles of one row lie {say(plan, min(gaps))} and {say(plan, max(gaps))} apart"
            )
            yield found(
                plan, NAME, Severity.CAUTION, message, odd.path, "lay them all alike",
                figure=max(gaps) - min(gaps), limit=UNLIKE.value, source=UNLIKE.source,
                at=on_leg(odd),
            )  # fmt: skip
        elif len(row) + 1 == PAIR.value and row[0].link.gait == "trot":
            yield found(
                plan, NAME, Severity.NOTE, "two trot poles alone: a horse may jump both at once",
                row[0].path, "lay three or more", figure=float(len(row) + 1), limit=PAIR.value,
                source=PAIR.source, at=on_leg(row[0]),
            )  # fmt: skip


def _rows(plan: Plan) -> list[list[PlanLeg]]:
    """Poles that follow each other at the step of the gait; the way out ends the last row."""
    found: list[list[PlanLeg]] = []
    current: list[PlanLeg] = []
    for leg in plan.legs:
        poles = leg.first is not None and leg.second is not None
        poles = poles and is_pole(leg.first) and is_pole(leg.second)  # type: ignore[arg-type]
        if poles and leg.shape == "line" and leg.track_m <= ROW.of(leg.link.gait).value:
            current.append(leg)
            continue
        if current:
            found.append(current)
        current = []
    return found


RULE = Rule(NAME, _check)
