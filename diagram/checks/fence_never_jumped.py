"""fence-never-jumped: a fence is set that the ride leaves out."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.layout.course import unused_fences
from diagram.planning import Plan

NAME = "fence-never-jumped"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for name in unused_fences(plan.course, plan.definition):
        yield found(
            plan, NAME, Severity.NOTE, f"{name} is built and never jumped", ("fences", name),
            "jump it, or leave it out", key=True,
        )  # fmt: skip


RULE = Rule(NAME, _check)
