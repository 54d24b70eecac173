"""What a check is, and the one way to report what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan


@dataclass(frozen=True, slots=True)
class Rule:
    """A check, named for the bad thing it looks for."""

    name: str
    check: Callable[[Plan], Iterable[Diagnostic]]


def found(
    plan: Plan,
    rule: str,
    severity: Severity,
    message: str,
    path: tuple[str | int, ...],
    hint: str,
    *,
    figure: float | None = None,
    limit: float | None = None,
    source: str = "",
    key: bool = False,
) -> Diagnostic:
    """A finding with its place in the file, the figure, the limit and where that comes from."""
    facts: list[tuple[str, Any]] = []
    if figure is not None:
        facts.append(("figure", round(figure, 4)))
    if limit is not None:
        facts.append(("limit", round(limit, 4)))
    if source:
        facts.append(("source", source))
    span = plan.document.span_at(path, key=key)
    return Diagnostic(rule, severity, message, span, hint, facts=tuple(facts))
