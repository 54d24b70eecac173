"""circle-left-out: a circle that the ride asks for and the ground has no room for."""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "circle-left-out"
SOURCE = "derived: the track of the leg, which turns through less than a circle"
NEARLY_ROUND = Limit(NAME, "nearly round")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        asked = len(leg.link.circles)
        turned = sum(abs(piece.turn) for piece in leg.curve.pieces)
        if turned >= 2 * math.pi * NEARLY_ROUND.value * asked:
            continue
        yield found(
            plan, NAME, Severity.CAUTION, "there is no room for the circle, which is not drawn",
            leg.path, "leave more ground there, or say a smaller circle",
            source=SOURCE, at=on_leg(leg, 0.0),
        )  # fmt: skip


RULE = Rule(NAME, _check)
