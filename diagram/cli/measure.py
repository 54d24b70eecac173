"""``tapeline measure``: where every fence stands and how long every leg is."""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from diagram.cli.common import CLEAN, files_argument, plans, show, worst
from diagram.diagnostics import RejectedError
from diagram.folder import is_folder
from diagram.plain import counted, json_text
from diagram.units import feet_inches, metres_text, steps_text

if TYPE_CHECKING:
    from diagram.planning import Plan, PlanLeg, SecondWay


@click.command("measure")
@files_argument
@click.option("--json", "as_json", is_flag=True, help="Print the whole plan for machines.")
@click.option(
    "--relations",
    is_flag=True,
    help="Show what every relation is off by, and every term of the arrangement.",
)
def command(files: tuple[Path, ...], as_json: bool, relations: bool) -> None:
    """Measure exercises: places, distances, radii, times."""
    code, values = CLEAN, []
    for _, plan in plans(files):
        code = worst(code, plan)
        if isinstance(plan, RejectedError):
            show(plan.diagnostics, plan.sources)
        elif as_json:
            values.append(_values(plan))
        else:
            _tables(plan)
            if relations:
                _relations(plan)
    if as_json and values:
        single = len(values) == 1 and len(files) == 1 and not is_folder(files[0])
        shown = values[0] if single else values
        click.echo(json_text(shown))
    sys.exit(code)


def _values(plan: Plan) -> dict[str, Any]:
    """The plan, and the readings of its builder's leaf in feet and inches as metres."""
    from diagram.pipeline import setting_of
    from diagram.stakeout.crew import crew_for
    from diagram.writers.json import plan_values
    from diagram.writers.setting_json import leaf_values

    return {**plan_values(plan), "leaf": leaf_values(setting_of(plan, crew_for("feet")).leaf)}


def _tables(plan: Plan) -> None:
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(highlight=False, width=None if sys.stdout.isatty() else 140)
    named = f": {plan.name}" if plan.name else ""
    console.print(Text(plan.definition.title + named, "bold"))
    fences = Table("fence", "kind", "x", "y", "faces", "height", "spread", "jumped as")
    for placed in plan.fences:
        measures = placed.fence.measures
        fences.add_row(
            Text(placed.name),
            placed.fence.kind.name,
            metres_text(placed.pose.x),
            metres_text(placed.pose.y),
            f"{math.degrees(placed.pose.heading) % 360:.1f}°",
            feet_inches(measures.height_m) if measures.height_m else "",
            feet_inches(placed.fence.depth_m) if placed.fence.depth_m else "",
            ", ".join(plan.numbers()[placed.name]),
        )
    console.print(fences)
    legs = Table("leg", "from", "to", "way", "strides", "asked", "track", "track", "steps",
                 "tape", "radius", "lead", "s", "rides as")  # fmt: skip
    for leg in plan.legs:
        legs.add_row(*(Text(cell) for cell in _row(leg)))
        for other in leg.others:
            legs.add_row(*(Text(cell) for cell in _other_row(other)))
    console.print(legs)
    totals = plan.totals
    console.print(
        f"{totals.track_m:.0f} m, {totals.seconds:.0f} s, "
        f"{counted(totals.efforts, 'effort')}, "
        f"{totals.left_turns} turns to the left, {totals.right_turns} to the right"
    )


def _relations(plan: Plan) -> None:
    """How the places came about, what every relation between them is off by, and the terms."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from diagram.placing.designer.reckoning import costs_of, costs_text

    layout = plan.layout
    console = Console(highlight=False, width=None if sys.stdout.isatty() else 140)
    console.print(Text(layout.outcome, "bold"))
    if layout.freedom:
        console.print(f"ways left to move the fences: {layout.freedom}; the roomiest was taken")
    table = Table("line", "relation", "off by", "turned by")
    for residual in layout.residuals:
        table.add_row(
            str(plan.document.span_at(residual.path).line),
            Text(residual.words),
            f"{residual.off_m * 1000:.2f} mm",
            f"{math.degrees(residual.off_rad):.3f}°",
        )
    for shortage in layout.shortages:
        line = str(plan.document.span_at(shortage.path).line)
        table.add_row(line, Text(shortage.words), f"{metres_text(shortage.short_m)} short", "")
    if layout.residuals or layout.shortages:
        console.print(table)
    console.print(Text("As a course designer would look at it", "bold"))
    console.print(costs_text(costs_of(plan.exercise, plan.limits, layout.poses)))


def _row(leg: PlanLeg) -> list[str]:
    radius = leg.min_radius_m
    return [
        str(leg.number),
        leg.first.jump.fence if leg.first else "start",
        leg.second.jump.fence if leg.second else "finish",
        leg.shape,
        "" if leg.strides is None else str(leg.strides),
        "" if leg.target_m is None else feet_inches(leg.target_m),
        feet_inches(leg.track_m),
        metres_text(leg.track_m),
        steps_text(leg.track_m),
        metres_text(leg.straight_m),
        metres_text(radius, 1) if math.isfinite(radius) else "",
        leg.lead or "",
        f"{leg.seconds:.1f}",
        leg.rides.words if leg.rides else "",
    ]


def _other_row(other: SecondWay) -> list[str]:
    curve = other.way.curve
    angle = f", fences at {math.degrees(other.way.angle):.0f}°" if other.way.angle else ""
    return [
        "", "", "", f"or{angle}", str(other.strides), feet_inches(other.asked.aim_m),
        feet_inches(curve.length), metres_text(curve.length), steps_text(curve.length), "",
        metres_text(curve.min_radius, 1) if math.isfinite(curve.min_radius) else "", "", "",
        other.rides.words,
    ]  # fmt: skip
