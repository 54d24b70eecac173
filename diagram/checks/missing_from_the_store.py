"""missing-from-the-store: the exercise wants poles, standards or fillers that are not there."""

from collections.abc import Iterable
from pathlib import Path

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.inventory import missing_from, needs_of
from diagram.planning import Plan

NAME = "missing-from-the-store"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    if plan.store is None:
        return
    fences = tuple(placed.fence for placed in plan.fences)
    for short in missing_from(plan.store, needs_of(fences)):
        users = [placed for placed in plan.fences if placed.name in short.users]
        message = f"{short.what}: {short.wanted} wanted, {short.there} in the store"
        one = short.users[0] if len(short.users) == 1 else f"one of {', '.join(short.users)}"
        hint = f"borrow {short.lacking}, or lighten or leave out {one}"
        yield found(
            plan, NAME, Severity.CAUTION, message, users[-1].fence.path[:2], hint,
            figure=float(short.wanted), limit=float(short.there),
            source=f"{Path(plan.store.name).name}, and parts of each kind: {short.source}",
            at=users[-1].pose.point, key=True,
        )  # fmt: skip


RULE = Rule(NAME, _check)
