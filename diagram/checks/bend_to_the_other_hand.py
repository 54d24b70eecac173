"""bend-to-the-other-hand: a way said to go left goes right as the fences stand, or the reverse."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "bend-to-the-other-hand"
A_BEND = Limit(NAME, "a bend")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        way = leg.link.way
        if way is None or way.left is None or leg.link.circles:
            continue
        said = 1 if way.left else -1
        if leg.curve.turn * said >= A_BEND.value:
            continue
        words = ("left", "right") if way.left else ("right", "left")
        message = f"this {way.shape} is said to go {words[0]} and does not, as the fences stand"
        hint = f"write {way.shape}: {words[1]}, or turn the fence"
        yield found(
            plan, NAME, Severity.STOP, message, leg.path, hint, figure=leg.curve.turn,
            limit=A_BEND.value * said, source=A_BEND.source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    tells_of=("distance-off", "lead-against-the-turn", "too-little-straight", "turn-too-tight"),
)
