"""fence-never-jumped: a fence is set that the ride leaves out."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.course import unused_fences
from diagram.geometry.pose import Point
from diagram.planning import Plan

NAME = "fence-never-jumped"
SOURCE = "common practice (no source)"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for name in unused_fences(plan.exercise.jumped, plan.definition):
        yield found(
            plan, NAME, Severity.NOTE, f"{name} is built and never jumped", ("fences", name),
            "jump it, or leave it out", key=True, source=SOURCE, at=_middle(plan, name),
        )  # fmt: skip


def _middle(plan: Plan, name: str) -> Point:
    """Where the fence stands; its first element for a combination."""
    return next(f.pose.point for f in plan.fences if name in (f.name, f.fence.whole))


RULE = Rule(NAME, _check)
