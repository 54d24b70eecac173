"""does-not-fit: the exercise as said does not fit this arena, these horses or its own pins.

What is drawn is the arrangement that falls short least. It is nothing to build, so that what else
is wrong with its places is not told: with the cause mended the fences stand elsewhere.
"""

import math
from collections.abc import Iterable

from diagram.checks.rule import Path, Rule, at_path, found, say, say_off
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.across_lines import AcrossItsLine, across_its_line
from diagram.judging.circles import Arc, arc_of, fitting_count, room_across, size_text
from diagram.placing.outcome import Shortage
from diagram.plain import counted
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "does-not-fit"
SOURCE = "derived: the arrangement that falls short least"
MOST_SHOWN = Limit(NAME, "told")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    """One finding: what falls short most is the cause, and the rest is said with it."""
    layout = plan.layout
    if not layout.shortages:
        return
    worst, *others = layout.shortages
    message = f"{worst.words}: {say_off(plan, worst.short_m)} short"
    arc = _circle_of(plan, worst)
    if arc is not None:
        # The bends of one circle are too tight together.
        others = [other for other in others if _circle_of(plan, other) is None]
    told = [
        f"{shortage.words}: {say_off(plan, shortage.short_m)}"
        for shortage in others[: int(MOST_SHOWN.value)]
    ]
    if told:
        message += "; so are others for the same want of room: " + "; ".join(told)
    changes = "; or ".join(change.words for change in layout.changes)
    hint = (
        f"it would fit with {changes}" if changes else "tapeline check --changes tries what helps"
    )
    if not changes:
        hint = _of_the_circle(plan, arc) or hint
    path: Path = worst.path
    related: tuple[tuple[Path, str], ...] = ()
    if (across := across_its_line(plan)) is not None:
        message, hint, path, related = _of_the_line(plan, across)
    yield found(
        plan, NAME, Severity.STOP, message, path, hint, figure=worst.short_m, limit=0.0,
        key=path is worst.path and path[0] == "fences", source=SOURCE,
        at=at_path(plan, worst.path), related=related,
    )  # fmt: skip


def _of_the_line(
    plan: Plan, across: AcrossItsLine
) -> tuple[str, str, Path, tuple[tuple[Path, str], ...]]:
    """Two things said that leave no room for each other: what, what to take out, and where."""
    name, said = across.fence, plan.definition.arrange[across.arranged]
    message = (
        f"{name} stands on a line that it is jumped along, and in a serpentine its fences stand "
        "side by side, across that line: there is no room beside it for the others"
    )
    hint = f"take `{across.line}` out of {name}, or {name} out of the serpentine"
    beside = (("arrange", across.arranged), f"{', '.join(said.fences)} stand in a serpentine")
    return message, hint, ("fences", name, "on"), (beside,)


def _circle_of(plan: Plan, shortage: Shortage) -> Arc | None:
    """The bend round a circle that a shortage says is too tight; None where it says else."""
    if not shortage.tight:
        return None
    legs = (leg for leg in plan.legs if leg.path == shortage.path)
    return next((arc for leg in legs if (arc := arc_of(leg.resolved)) is not None), None)


def _of_the_circle(plan: Plan, tight: Arc | None) -> str:
    """What to write where a circle of fences is too tight for the horses or too wide for the arena;
    nothing where it is neither."""
    arcs = [arc for leg in plan.legs if (arc := arc_of(leg.resolved)) is not None]
    arc = tight or max(arcs, key=_across, default=None)
    if arc is None:
        return ""
    wide, room = _across(arc) + arc.wide_m, room_across(plan)
    if tight is None and wide <= room:
        return ""
    least = say(plan, 2 * plan.limits.canter.manner.least_radius)
    why = (
        f"with its fences this circle is {say(plan, wide)} across, and the arena {say(plan, room)}"
    )
    if tight is not None:
        why = f"these horses want a circle of {least}"
    around = round(math.tau / arc.turn)
    for other in (arc, arc.among(around + 1)):
        count = fitting_count(plan, other)
        if count is not None:
            fences = "" if other is arc else f"{around + 1} fences and "
            said = f"write {fences}{counted(count, 'stride')} in each bend"
            return f"{why}; {said}: a circle of {size_text(plan, other, count)}"
    return f"{why}; none that is {least} across, as these horses want, has room in it"


def _across(arc: Arc) -> float:
    assert arc.leg.target_m is not None
    return arc.across_m(arc.leg.target_m)


OF_PLACES = (
    "approach-too-short", "circle-left-out", "fence-in-the-gateway", "fence-in-the-way",
    "fence-too-near-the-rail", "fences-collide", "fences-too-near", "landing-into-a-corner",
    "off-the-arena", "post-in-the-way", "rides-meet", "start-off-the-wall",
    "too-little-straight", "turn-too-tight",
)  # fmt: skip
"""Checks whose findings come of where the fences stand."""

RULE = Rule(NAME, _check, tells_of=("distance-off", "no-choice"), explains=OF_PLACES)
