"""step-too-large: a fence much higher, or a spread much wider, than any jumped before it."""

from collections.abc import Iterable, Iterator

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.line import Crossing
from diagram.planning import Plan
from diagram.trade.fence_facts import half_way_up
from diagram.trade.figures import Figure
from diagram.trade.limits import Limit
from diagram.trade.schooling import schooling

NAME = "step-too-large"
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    jumped = [c for c in plan.crossings if not c.fence.fence.kind.ridden_over]
    spreads = [c for c in jumped if c.fence.fence.depth_m > 0]
    higher, wider = schooling().step_in_height, schooling().step_in_spread
    heights = [(c, counted_height(c)) for c in jumped]
    widths = [(c, c.fence.fence.depth_m) for c in spreads]
    yield from _steps(plan, heights, higher.of(experience), "higher", "build up to it")
    yield from _steps(plan, widths, wider.of(experience), "wider", "draw it in at first")


def counted_height(crossing: Crossing) -> float:
    """Metres that a fence counts as: of a cross, half-way from the crossing to the wing [R36]."""
    fence = crossing.fence.fence
    height_m = fence.measures.height_m
    return half_way_up(height_m) if fence.facts.group == "cross-rail" else height_m


def _steps(
    plan: Plan, sizes: list[tuple[Crossing, float]], limit: Figure, word: str, hint: str
) -> Iterator[Diagnostic]:
    for n, (after, large) in enumerate(sizes[1:], 1):
        before, small = max(reversed(sizes[:n]), key=lambda size: size[1])
        if large - small <= limit.value + SLACK.value:
            continue
        message = (
            f"{_counted(after)} {say(plan, large - small)} {word} than {before.fence.name} "
            f"before it; {say(plan, limit.value)} at most for {plan.terms.horses.experience} horses"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, after.jump.path, hint, figure=large - small,
            limit=limit.value, source=limit.source, at=after.pose.point,
        )  # fmt: skip


def _counted(crossing: Crossing) -> str:
    """A cross is measured where its poles cross, and counts as higher."""
    fence = crossing.fence
    if fence.fence.facts.group == "cross-rail":
        return f"{fence.name} counts half-way up its cross, which is"
    return f"{fence.name} is"


RULE = Rule(
    NAME,
    _check,
    (
        "schooling/step in height",
        "schooling/step in spread",
    ),
)
