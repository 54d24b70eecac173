"""What a check is, and the one way to report what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.model.bare_numbers import in_metres
from diagram.planning import Plan, PlanLeg
from diagram.source import Scalar
from diagram.units import length_text

Path = tuple[str | int, ...]


class Rule(Struct, frozen=True):
    """A check, named for the bad thing it looks for.

    `figures` are places in the data files of the trade, beside its own in ``limits.yaml``, that
    it judges by: ``gaits/clearances/track to rail``. `tells_of` are checks whose findings on the
    same line of the file come of the same cause, and need not be told as well.
    """

    name: str
    check: Callable[[Plan], Iterable[Diagnostic]]
    figures: tuple[str, ...] = ()
    tells_of: tuple[str, ...] = ()
    explains: tuple[str, ...] = ()


def found(
    plan: Plan,
    rule: str,
    severity: Severity,
    message: str,
    path: Path,
    hint: str,
    *,
    source: str,
    at: Point,
    figure: float | None = None,
    limit: float | None = None,
    key: bool = False,
    related: Iterable[tuple[Path, str]] = (),
) -> Diagnostic:
    """A finding: its place in the file and on the ground (metres), figure, limit, source.

    `related` are other places in the file, each with what is said there.
    """
    facts: list[tuple[str, Any]] = []
    if figure is not None:
        facts.append(("figure", round(figure, 4)))
    if limit is not None:
        facts.append(("limit", round(limit, 4)))
    facts += [("source", source), ("at_m", (round(at[0], 3), round(at[1], 3)))]
    if path[:1] == ("fences",) and path[2:3] == ("elements",):
        facts.append(("element_of", path[1]))
    span = plan.document.span_at(path, key=key)
    others = tuple((plan.document.span_at(place), text) for place, text in related)
    return Diagnostic(rule, severity, message, span, hint, others, tuple(facts))


def fact(finding: Diagnostic, name: str) -> Any:
    """One of its facts; None if it has none of that name."""
    return dict(finding.facts).get(name)


def with_fact(finding: Diagnostic, name: str, value: Any) -> Diagnostic:
    """The finding with one fact more."""
    return replace(finding, facts=(*finding.facts, (name, value)))


def horses_text(plan: Plan) -> str:
    """``green horses``, ``small ponies``: who is meant, in a sentence."""
    return f"{plan.terms.horses.experience} {of_size(plan)}"


def of_size(plan: Plan) -> str:
    """``horses``, ``small ponies``."""
    size = plan.terms.horses.size
    return "horses" if size == "horse" else size.replace("pony", "ponies")


def say(plan: Plan, metres: float) -> str:
    """A length in the units that the file is written in: those of its level, else of most of its
    lengths, else of its table."""
    node, found = plan.document.node_at(("level",))
    text = node.text if found and isinstance(node, Scalar) else ""
    metric = "m" in text if text else in_metres(plan.document.text)
    if metric is None:
        metric = plan.terms.table.units == "metres"
    return length_text(metres, "metres" if metric else "feet")


def say_off(plan: Plan, metres: float) -> str:
    """How far something is off, without sign: ``a little`` where that rounds to nothing."""
    text = say(plan, abs(metres))
    return text if any(digit in text for digit in "123456789") else "a little"


LAST_DIGIT = 1e-6
"""Metres, or shares: a limit that is just kept is kept, whatever the last digit of a difference."""
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


def strides_text(strides: float) -> str:
    """Strides as a rider counts them, to the half: ``one and a half strides``."""
    halves = round(strides * 2)
    whole, half = divmod(halves, 2)
    if not whole:
        return "half a stride" if half else "no stride"
    word = COUNTS[whole] if whole < len(COUNTS) else str(whole)
    return f"{word}{' and a half' * half} stride{'s' * (halves > 2)}"


def fences_of(plan: Plan) -> tuple[PlacedFence, ...]:
    """The fences whose build matters to a ride: of several rides, those that this one jumps."""
    if not plan.name:
        return plan.fences
    jumped = {crossing.jump.fence for crossing in plan.crossings}
    return tuple(placed for placed in plan.fences if placed.name in jumped)


def on_leg(leg: PlanLeg, s: float | None = None) -> Point:
    """A place on the track of a leg, `s` metres along it; its middle when left out."""
    return leg.curve.pose_at(leg.track_m / 2 if s is None else s).point


def at_path(plan: Plan, path: Path) -> Point:
    """The place on the ground of what is written at `path`: a fence, a leg, else the middle."""
    for placed in plan.fences:
        if path[:1] == ("fences",) and path[1:2] in ((placed.name,), (placed.fence.whole,)):
            return placed.pose.point
    for leg in plan.legs:
        if leg.path == path[: len(leg.path)]:
            return on_leg(leg)
    x0, y0, x1, y1 = plan.arena.region.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2
