"""element-without-purpose: a way or a fence of the ride that says nothing of what it is for."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan

NAME = "element-without-purpose"
SOURCE = "common practice (no source)"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        if leg.second is None or leg.link.inner:
            continue
        if not leg.link.lesson.purpose and not leg.second.jump.lesson.purpose:
            jump = leg.second.jump
            called = f"jump {jump.label}" if jump.label else jump.fence
            message = f"nothing says what {called} or the way to it is for"
            hint = "add purpose: under the jump or the way to it"
            yield found(
                plan, NAME, Severity.NOTE, message, leg.second.jump.path, hint, source=SOURCE,
                at=leg.second.pose.point,
            )  # fmt: skip


RULE = Rule(NAME, _check)
