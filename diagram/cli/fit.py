"""``tapeline fit``: an exercise for another arena, other horses, another height, or mirrored."""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from diagram.cli.common import (
    CLEAN,
    STOPPED,
    paper_options,
    patience,
    progress,
    reading,
    show,
    writing,
)
from diagram.diagnostics import Severity
from diagram.plain import json_text
from diagram.units import feet_inches, length_text, metres_text

if TYPE_CHECKING:
    from diagram.fitting import Fitted
    from diagram.planning import PlanLeg
    from diagram.units import Units


@click.command("fit")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--arena", help="A size (60 x 30 m), a known arena, or FILE.yaml:NAME.")
@click.option("--horses", help='A size of horse or pony, or a stride: "11\'6\\" stride".')
@click.option("--height", help="The new level; fences with a height of their own move with it.")
@click.option("--mirrored", is_flag=True, help="Left for right.")
@click.option("--end-for-end", is_flag=True, help="Turned half round in the arena.")
@click.option(
    "--move", multiple=True, help='Move a fence from where it stands: "rowan 2 steps left".'
)
@click.option("--to", type=click.Path(path_type=Path), help="A new .yaml file, or a .pdf card.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--changes", is_flag=True, help="Where it does not fit, work out what would help.")
@click.option("--json", "as_json", is_flag=True, help="Print the changes for machines.")
@paper_options
def command(
    file: Path, arena: str | None, horses: str | None, height: str | None, mirrored: bool,
    end_for_end: bool, move: tuple[str, ...], to: Path | None, force: bool, changes: bool,
    as_json: bool, paper: str, units: str,
) -> None:  # fmt: skip
    """Fit an exercise to another arena, other horses or another height, and say what changed."""
    from diagram.changing import with_changes
    from diagram.checks import check
    from diagram.fitting import Wanted, fit
    from diagram.pipeline import plan

    wanted = Wanted(arena, horses, height, mirrored, end_for_end, move)
    if wanted == Wanted():
        raise click.UsageError("say what to fit it to: --arena, --horses, --height, --move, ...")
    if to is not None and to.suffix.lower() not in (".yaml", ".yml", ".pdf"):
        raise click.UsageError(f"{to}: write a .yaml definition or a .pdf card")
    if to is not None and to.exists() and not force:
        raise click.UsageError(f"{to} is there already; --force writes over it")
    with reading(), patience(f"{file}: fitting"):
        fitted = fit(plan(file), wanted)
    after = fitted.after
    if changes:
        with progress("trying changes") as told:
            after = with_changes(after, told)
    after = check(after)
    if fitted.not_kept and to is not None:
        click.echo(fitted.not_kept, err=True)
    if as_json:
        click.echo(json_text(_values(fitted)))
    else:
        _tables(fitted)
    serious = [f for f in after.findings if f.severity in (Severity.STOP, Severity.CAUTION)]
    show(serious, {after.document.name: after.document.text})
    if to is not None:
        _write(fitted, to, paper, cast("Units", units))
        click.echo(to, err=as_json)
    stops = any(f.severity is Severity.STOP for f in after.findings)
    sys.exit(STOPPED if stops else CLEAN)


def _write(fitted: Fitted, to: Path, paper: str, units: Units) -> None:
    from diagram.checks import check
    from diagram.pipeline import card
    from diagram.writers.files import write_bytes

    with writing(to):
        if to.suffix.lower() == ".pdf":
            card(check(fitted.after), to, paper=paper, units=units)
        else:
            write_bytes(to, fitted.text.encode("utf-8"))


def _moves(fitted: Fitted) -> list[dict[str, Any]]:
    old = {f.name: f for f in fitted.before.fences}
    out = []
    for placed in fitted.after.fences:
        was = old[placed.name].pose
        turned = math.remainder(placed.pose.heading - was.heading, 2 * math.pi)
        out.append(
            {
                "fence": placed.name,
                "from_m": [round(was.x, 3), round(was.y, 3)],
                "to_m": [round(placed.pose.x, 3), round(placed.pose.y, 3)],
                "moved_m": round(was.distance(placed.pose.point), 3),
                "turned_deg": round(math.degrees(turned), 2),
                "height_m": round(placed.fence.measures.height_m, 4),
                "spread_m": round(placed.fence.depth_m, 4),
            }
        )
    return out


def _legs(fitted: Fitted) -> list[tuple[PlanLeg, PlanLeg]]:
    pairs = zip(fitted.before.legs, fitted.after.legs, strict=True)
    return [(old, new) for old, new in pairs if new.shape in ("line", "bend")]


def _values(fitted: Fitted) -> dict[str, Any]:
    return {
        "outcome": fitted.layout.outcome,
        "fences": _moves(fitted),
        "legs": [
            {
                "from": new.first.jump.fence if new.first else "start",
                "to": new.second.jump.fence if new.second else "finish",
                "strides": new.strides,
                "before_m": round(old.track_m, 4),
                "after_m": round(new.track_m, 4),
            }
            for old, new in _legs(fitted)
        ],
    }


def _tables(fitted: Fitted) -> None:
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(highlight=False, width=None if sys.stdout.isatty() else 140)
    console.print(Text(f"{fitted.after.definition.title}: {fitted.layout.outcome}", "bold"))
    fences = Table("fence", "was at", "is at", "moved", "turned", "height", "spread")
    for move in _moves(fitted):
        fences.add_row(
            Text(move["fence"]),
            " ".join(metres_text(v) for v in move["from_m"]),
            " ".join(metres_text(v) for v in move["to_m"]),
            length_text(move["moved_m"], "both") if move["moved_m"] > 0.005 else "stays",
            f"{move['turned_deg']:.1f}°" if abs(move["turned_deg"]) > 0.05 else "",
            feet_inches(move["height_m"]) if move["height_m"] else "",
            feet_inches(move["spread_m"]) if move["spread_m"] else "",
        )
    console.print(fences)
    legs = Table("from", "to", "strides", "was", "is", "change", "rides as")
    for old, new in _legs(fitted):
        change = new.track_m - old.track_m
        sign = "+" if change > 0 else "-"
        legs.add_row(
            Text(new.first.jump.fence if new.first else "start"),
            Text(new.second.jump.fence if new.second else "finish"),
            "" if new.strides is None else str(new.strides),
            length_text(old.track_m, "both"),
            length_text(new.track_m, "both"),
            f"{sign}{length_text(abs(change), 'both')}" if abs(change) > 0.005 else "none",
            new.rides.words if new.rides else "",
        )
    console.print(legs)
