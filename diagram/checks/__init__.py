"""Checks: every file in this folder that has a RULE is one, found in name order."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cache

from msgspec.structs import replace

from diagram.checks.does_not_fit import OF_PLACES
from diagram.checks.rule import Rule, fact, with_fact
from diagram.diagnostics import Diagnostic, Severity, near
from diagram.folder import offered
from diagram.geometry.pose import Point
from diagram.planning import Plan


@cache
def rules() -> dict[str, Rule]:
    """All checks by name."""
    return {rule.name: rule for rule in offered(__name__, __path__, "RULE").values()}


def check(plan: Plan) -> Plan:
    """The plan with its findings, worst first; what the file allows becomes a note.

    Each that has a place on the ground gets a `mark`, the letter that stands there on the
    drawing and beside it in every list. What is found at one place has one letter.
    """
    allowed = dict(plan.definition.allow)
    findings = [
        _allowed(finding, allowed.get(finding.rule))
        for rule in rules().values()
        for finding in rule.check(plan)
    ]
    findings += _not_rules(plan, allowed)
    findings = list(_one_cause_once(findings))
    order = sorted(set(findings), key=lambda f: (f.severity.rank, *f.order()))
    order = _one_row_once(_one_place_once(order))
    return _tight_or_not(replace(plan, findings=tuple(_marked(order))))


def _tight_or_not(plan: Plan) -> Plan:
    """Places that were worked out are called good only where no check warns of them."""
    layout = plan.layout
    warned = any(
        finding.rule in OF_PLACES and finding.severity.rank <= Severity.CAUTION.rank
        for finding in plan.findings
    )
    if not warned or layout.outcome not in ("placed", "placed, with room to choose"):
        return plan
    return replace(plan, layout=replace(layout, outcome="placed, but tight"))


def _allowed(finding: Diagnostic, reason: str | None) -> Diagnostic:
    if reason is None:
        return finding
    noted = replace(finding, severity=Severity.NOTE, hint=f"allowed by the trainer: {reason}")
    return with_fact(with_fact(noted, "allowed", reason), "was", str(finding.severity))


def _one_cause_once(findings: list[Diagnostic]) -> Iterator[Diagnostic]:
    """Without what a finding that is no less grave tells of already."""
    told = [
        (name, finding.severity.rank, line)
        for finding in findings
        if finding.rule in rules()
        for names, line in (
            (rules()[finding.rule].tells_of, _line(finding)),
            (rules()[finding.rule].explains, None),
        )
        for name in names
    ]
    for finding in findings:
        rank, line = finding.severity.rank, _line(finding)
        if not any(n == finding.rule and r <= rank and at in (None, line) for n, r, at in told):
            yield finding


def _one_place_once(findings: list[Diagnostic]) -> list[Diagnostic]:
    """What is found again each time that the ride comes by is told where it comes first."""
    first: dict[object, Diagnostic] = {}
    times: dict[object, int] = {}
    for finding in findings:
        at = fact(finding, "at_m")
        again = (finding.rule, finding.severity, finding.message, finding.hint, at)
        key: object = finding if at is None else again
        first.setdefault(key, finding)
        times[key] = times.get(key, 0) + 1
    return [
        finding if times[key] == 1 else _with_times(finding, times[key])
        for key, finding in first.items()
    ]


def _one_row_once(findings: list[Diagnostic]) -> list[Diagnostic]:
    """What is found alike at several elements of one combination is told at the first of them."""
    alike: dict[object, list[Diagnostic]] = {}
    for finding in findings:
        row = fact(finding, "element_of")
        again = (finding.rule, finding.severity, finding.message, finding.hint, row)
        alike.setdefault(finding if row is None else again, []).append(finding)
    return [_with_the_others(*same) if len(same) > 1 else same[0] for same in alike.values()]


def _with_the_others(first: Diagnostic, *others: Diagnostic) -> Diagnostic:
    times = 1 + len(others)
    told = replace(first, message=f"{first.message}; {times} times in {fact(first, 'element_of')}")
    return with_fact(told, "times", times)


def _with_times(finding: Diagnostic, times: int) -> Diagnostic:
    told = replace(finding, message=f"{finding.message}; {times} times in this ride")
    return with_fact(told, "times", times)


def _line(finding: Diagnostic) -> tuple[str, int] | None:
    return (finding.span.file, finding.span.line) if finding.span else None


def _not_rules(plan: Plan, allowed: dict[str, str]) -> Iterator[Diagnostic]:
    for name in allowed:
        if name not in rules():
            yield Diagnostic(
                "unknown-allowance",
                Severity.CAUTION,
                f'"{name}" is not the name of a check',
                plan.document.span_at(("allow", name), key=True),
                near(name, rules()),
            )


SAME_PLACE_M = 1.0
"""Metres. Nearer than this one letter stands for everything that was found there."""


def _marked(findings: Iterable[Diagnostic]) -> Iterator[Diagnostic]:
    """Findings with the letter of their place; the worst ones get the first letters."""
    places: list[Point] = []
    for finding in findings:
        at = fact(finding, "at_m")
        if at is None:
            yield finding
            continue
        near = [n for n, place in enumerate(places) if math.dist(place, at) < SAME_PLACE_M]
        if not near:
            near = [len(places)]
            places.append(at)
        yield with_fact(finding, "mark", letters(near[0]))


def letters(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    rest, place = divmod(number, 26)
    return (letters(rest - 1) if rest else "") + chr(ord("A") + place)
