"""missing-from-the-store: the exercise wants poles, standards or fillers that are not there."""

from collections.abc import Iterable
from pathlib import Path

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.inventory import missing_from
from diagram.planning import Plan

NAME = "missing-from-the-store"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    if plan.store is None:
        return
    for short in missing_from(plan.store, (placed.fence for placed in plan.fences)):
        users = [placed for placed in plan.fences if placed.name in short.users]
        one = short.users[0] if len(short.users) == 1 else f"one of {', '.join(short.users)}"
        hint = f"borrow {short.lacking}, or lighten or leave out {one}"
        yield found(
            plan, NAME, Severity.CAUTION, short.words(), users[-1].fence.path[:2], hint,
            figure=float(short.wanted), limit=float(short.there),
            source=f"{Path(plan.store.name).name}, and parts of each kind: {short.source}",
            at=users[-1].pose.point, key=True,
        )  # fmt: skip


RULE = Rule(NAME, _check)
