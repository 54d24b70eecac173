"""angle-too-steep: a fence jumped at a greater angle than its kind, its width or the horses allow.

Over the angle of its kind it is a stop, over that of these horses a caution. A wide spread is
still wider at an angle, a narrow fence still narrower: they allow less.
"""

import math
from collections.abc import Iterable

from diagram.checks.rule import Rule, found, horses_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.fences.kind import with_article
from diagram.judging.rows import WATER, is_spread
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "angle-too-steep"
OF_THE_LIMIT = Limit(NAME, "share of the limit")
WIDE_SHARE = Limit(NAME, "share for a wide spread")
WIDE = Limit(NAME, "a wide spread")
NARROW_SHARE = Limit(NAME, "share for a narrow fence")
NARROW = Limit(NAME, "a narrow fence")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    share = OF_THE_LIMIT.of(experience)
    for crossing in plan.crossings:
        limit = crossing.fence.fence.facts.angle
        angle = abs(crossing.jump.angle)
        fence = crossing.fence.fence
        over_ground = is_spread(crossing) or fence.kind.name == WATER
        wide = over_ground and fence.measures.spread_m >= WIDE.of(experience).value - 0.005
        narrow = fence.measures.width_m < NARROW.value - 0.005 and not fence.kind.ridden_over
        most = limit.value * (WIDE_SHARE.value if wide else 1.0)
        most *= NARROW_SHARE.value if narrow else 1.0
        fair = most * share.value
        if angle <= fair + 1e-9:
            continue
        stop = angle > most + 1e-9
        kind = with_article(fence.kind.name)
        whom = f"{kind} so wide" if wide else f"{kind} so narrow" if narrow else kind
        told = f"for {whom}" if stop else f"for {whom} and {horses_text(plan)}"
        over = most if stop else fair
        message = (
            f"{crossing.fence.name} is jumped at {math.degrees(angle):.0f}°; "
            f"{told} {math.degrees(over):.0f}° is the most"
        )
        hint = "straighten the line or use a vertical"
        yield found(
            plan, NAME, Severity.STOP if stop else Severity.CAUTION, message, crossing.jump.path,
            hint, figure=math.degrees(angle), limit=math.degrees(over),
            source=limit.source if stop else share.source, at=crossing.pose.point,
        )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    (
        "fences/kinds/vertical/angle",
        "fences/kinds/gate/angle",
        "fences/kinds/square oxer/angle",
        "fences/kinds/ascending oxer/angle",
        "fences/kinds/triple bar/angle",
        "fences/kinds/cross-rail/angle",
        "fences/kinds/liverpool/angle",
    ),
)
