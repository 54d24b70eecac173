"""``tapeline check``: read exercises and say what is wrong with them."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click

from diagram.cli.common import CLEAN, files_argument, plans, show, worst
from diagram.diagnostics import RejectedError, Severity


@click.command("check")
@files_argument
@click.option("--json", "as_json", is_flag=True, help="Print findings for machines.")
def command(files: tuple[Path, ...], as_json: bool) -> None:
    """Check exercises: can they be read, built and ridden as they say?"""
    code = CLEAN
    out: list[dict[str, Any]] = []
    for file, plan in plans(files):
        code = worst(code, plan)
        rejected = isinstance(plan, RejectedError)
        found = plan.diagnostics if isinstance(plan, RejectedError) else plan.findings
        if as_json:
            found_json = [diagnostic.to_json() for diagnostic in found]
            out.append({"file": str(file), "placed": not rejected, "findings": found_json})
            continue
        sources = (
            plan.sources
            if isinstance(plan, RejectedError)
            else {plan.document.name: plan.document.text}
        )
        show(found, sources, err=rejected)
        click.echo(f"{file}: {_summary(plan)}", err=rejected)
    if as_json:
        click.echo(json.dumps(out, indent=2, ensure_ascii=False))
    sys.exit(code)


def _summary(plan: Any) -> str:
    if isinstance(plan, RejectedError):
        count = len(plan.diagnostics)
        return f"cannot be read as meant, {count} error{'s' if count > 1 else ''}"
    counts = []
    for severity in (Severity.STOP, Severity.CAUTION, Severity.NOTE):
        count = sum(finding.severity is severity for finding in plan.findings)
        if count:
            counts.append(f"{count} {severity}{'s' if count > 1 else ''}")
    totals = plan.totals
    ride = f"placed, {totals.efforts} effort{'s' * (totals.efforts != 1)}, {totals.track_m:.0f} m"
    return f"{ride}; {', '.join(counts) or 'nothing found'}"
