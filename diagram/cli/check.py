"""``tapeline check``: read exercises and say what is wrong with them."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from diagram.cli.common import CLEAN, files_argument, plans, progress, show, worst
from diagram.diagnostics import (
    Diagnostic,
    RejectedError,
    Severity,
    heading,
    render,
    render_heading,
    render_rich,
    render_sources,
)
from diagram.plain import counted, json_text

if TYPE_CHECKING:
    from diagram.planning import Plan


@click.command("check")
@files_argument
@click.option("--json", "as_json", is_flag=True, help="Print findings for machines.")
@click.option(
    "--changes", is_flag=True, help="Where one does not fit, or is tight, try what would help."
)
def command(files: tuple[Path, ...], as_json: bool, changes: bool) -> None:
    """Check exercises: can they be read, built and ridden as they say?"""
    code = CLEAN
    out: list[dict[str, Any]] = []
    for number, (file, plan) in enumerate(plans(files)):
        code = worst(code, plan)
        if changes and not isinstance(plan, RejectedError):
            plan = _changed(file, plan, quiet=as_json)
        if as_json:
            out.append(_for_machines(file, plan))
        elif isinstance(plan, RejectedError):
            show(plan.diagnostics, plan.sources)
            click.echo(f"{file}: {_errors(plan)}", err=True)
        else:
            _show(file, plan, first=number == 0)
    if as_json:
        click.echo(json_text(out))
    sys.exit(code)


def _changed(file: Path, plan: Plan, quiet: bool) -> Plan:
    """The plan with what helps. What is wrong is said before, and each change when it is found:
    the whole may take minutes."""
    from diagram.changing import Proven, wants_changes, with_changes
    from diagram.checks import check

    def show(proven: Proven) -> None:
        click.echo(f"  with {proven.words} it {'fits' if short else 'has room'}", err=True)

    short = plan.layout.shortages
    quiet = quiet or not wants_changes(plan)
    if not quiet:
        why = f": {short[0].words}" if short else ""
        click.echo(
            f"{file}: {plan.layout.outcome}{why}; trying what helps; Ctrl-C ends it", err=True
        )
    with progress("trying changes") as told:
        changed = with_changes(plan, told, None if quiet else show)
    return plan if changed is plan else check(changed)


def _groups(findings: tuple[Diagnostic, ...]) -> Iterator[tuple[Severity, list[Diagnostic]]]:
    """Findings by severity, the worst first."""
    for severity in Severity:
        group = [finding for finding in findings if finding.severity is severity]
        if group:
            yield severity, group


def _for_machines(file: Path, plan: Plan | RejectedError) -> dict[str, Any]:
    rejected = isinstance(plan, RejectedError)
    found = plan.diagnostics if isinstance(plan, RejectedError) else plan.findings
    return {
        "file": str(file),
        **({"ride": plan.name} if not isinstance(plan, RejectedError) and plan.name else {}),
        "placed": not rejected,
        "outcome": None if isinstance(plan, RejectedError) else plan.layout.outcome,
        "counts": {str(severity): len(group) for severity, group in _groups(found)},
        "findings": [diagnostic.to_json() for diagnostic in found],
    }


def _show(file: Path, plan: Plan, first: bool) -> None:
    """The outcome, the findings under a heading for each severity, and the whole in a line."""
    sources = {plan.document.name: plan.document.text}
    if not first:
        click.echo()
    name = f"{file}, {plan.name}" if plan.name else str(file)
    click.echo(f"{name}: {plan.layout.outcome}{_with_room(plan)}\n")
    if sys.stdout.isatty() and not os.environ.get("NO_COLOR"):
        _coloured(plan, sources)
    else:
        for severity, group in _groups(plan.findings):
            click.echo(f"{heading(severity, len(group))}\n\n{render(group, sources)}\n")
    sources_of = render_sources(plan.findings)
    if sources_of:
        click.echo(f"{sources_of}\n")
    click.echo(f"{name}: {_summary(plan)}")


def _with_room(plan: Plan) -> str:
    """What would give a tight one room; what would make one fit is told where it does not."""
    layout = plan.layout
    if layout.shortages or not layout.changes:
        return ""
    return f"; it would have room with {'; or '.join(change.words for change in layout.changes)}"


def _coloured(plan: Plan, sources: dict[str, str]) -> None:
    from rich.console import Console

    console = Console(file=sys.stdout, highlight=False, soft_wrap=True)
    for severity, group in _groups(plan.findings):
        console.print(render_heading(severity, len(group)))
        console.print()
        for finding in group:
            console.print(render_rich(finding, sources))
            console.print()


def _errors(problem: RejectedError) -> str:
    count = len(problem.diagnostics)
    return f"cannot be read as meant, {count} error{'s' if count > 1 else ''}"


def _summary(plan: Plan) -> str:
    counts = [
        f"{len(group)} {severity}{'s' if len(group) > 1 else ''}"
        for severity, group in _groups(plan.findings)
    ]
    totals = plan.totals
    ride = f"{counted(totals.efforts, 'effort')}, {totals.track_m:.0f} m"
    return f"{ride}; {', '.join(counts) or 'nothing found'}"
