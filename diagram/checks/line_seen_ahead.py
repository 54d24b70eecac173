"""line-seen-ahead: a fence dead ahead of another and near, which the ride turns away from.

The horse sees a line. What it sees should ride, or should not be there.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.fence import PlacedFence
from diagram.judging.rows import is_pole
from diagram.path.line import Crossing
from diagram.planning import Plan
from diagram.trade.limits import Limit
from diagram.units import length_text

NAME = "line-seen-ahead"
ASIDE = Limit(NAME, "aside")
TURNED = Limit(NAME, "turned")
STRIDES = Limit(NAME, "strides")
NEAR = Limit(NAME, "caution within")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    told: set[tuple[str, str]] = set()
    canter = plan.limits.canter
    for leg in plan.legs:
        if leg.first is None or leg.shape not in ("turn", "rollback", "finish"):
            continue
        if is_pole(leg.first):
            continue
        for fence in plan.fences:
            ahead = _ahead(leg.first, fence, leg.second.fence.name if leg.second else "")
            pair = (leg.first.fence.name, fence.name)
            strides = (ahead - 2 * canter.landing_m) / canter.stride_m
            if ahead <= 0 or strides > STRIDES.value or pair in told:
                continue
            told.add(pair)
            near = strides <= NEAR.of(plan.terms.horses.experience).value
            message = (
                f"{fence.name} stands {length_text(ahead, 'both')} dead ahead of "
                f"{leg.first.fence.name}, and the ride turns away from it"
            )
            yield found(
                plan, NAME, Severity.CAUTION if near else Severity.NOTE, message,
                leg.first.jump.path, f"put {fence.name} out of line, or turn it", figure=strides,
                limit=STRIDES.value, source=STRIDES.source, at=fence.pose.point,
            )  # fmt: skip


def _ahead(first: Crossing, fence: PlacedFence, second: str) -> float:
    """Metres to a fence that a horse landing from `first` sees in line; else 0."""
    if fence.name in (first.fence.name, second) or fence.fence.kind.ridden_over:
        return 0.0
    if fence.fence.whole and fence.fence.whole == first.fence.fence.whole:
        return 0.0
    seen = fence.pose.seen_from(first.leave)
    square = min(abs(seen.heading), abs(seen.reversed().heading))
    if abs(seen.y) > ASIDE.value or square > TURNED.value:
        return 0.0
    return seen.x - fence.fence.depth_m / 2


RULE = Rule(NAME, _check)
