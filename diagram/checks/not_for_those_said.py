"""not-for-those-said: an exercise too high, or with distances of another size, for whom it says.

So are heights that it may be ridden at, and that these horses do not jump.
"""

from collections.abc import Iterable, Iterator

from diagram.checks.higher_than_the_horses import CAUTION_OVER, STOP_OVER
from diagram.checks.rule import Path, Rule, fences_of, found, horses_text, on_leg, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import between_fences, gap_of
from diagram.planning import Plan, PlanLeg
from diagram.trade.figures import Figure
from diagram.trade.limits import Limit

NAME = "not-for-those-said"
GREEN_RIDERS = Limit(NAME, "green riders over")
BOUNCE = Limit("bounce-too-high", "height")
RELATED = Limit(NAME, "strides that tell of a size")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    said = plan.definition
    if plan.beside:
        # Several rides are for several horses; each is judged at the height it says.
        return
    yield from _at_its_highest(plan)
    low = said.heights[0] if said.heights else _built_m(plan)
    size = plan.terms.horses.size
    if "green riders" in said.suits and low > GREEN_RIDERS.value + SLACK.value:
        yield _whom(plan, "green riders", low, GREEN_RIDERS.of())
    green = CAUTION_OVER.of(size, "green")
    if "green horses" in said.suits and low > green.value + SLACK.value:
        yield _whom(plan, "green horses", low, green)
    kind = "ponies" if "pony" in size else "horses"
    for other in ("horses", "ponies"):
        leg = _counted(plan)
        if other in said.suits and other != kind and leg is not None:
            message = f"it is said to suit {other}, and its distances are for {kind}"
            yield found(
                plan, NAME, Severity.CAUTION, message, ("suits",),
                f"leave {other} out, or write an exercise of their own for them",
                source=RELATED.source, at=on_leg(leg),
            )  # fmt: skip


def _built_m(plan: Plan) -> float:
    """Metres of the highest fence as built; poles are nothing."""
    fences = [f.fence for f in fences_of(plan) if not f.fence.kind.ridden_over]
    return max((fence.measures.height_m for fence in fences), default=0.0)


def _counted(plan: Plan) -> PlanLeg | None:
    """A distance between fences that is ridden in strides, which another size does not."""
    near = (leg for leg in between_fences(plan) if gap_of(leg).strides <= RELATED.value)
    return next(near, None)


def _at_its_highest(plan: Plan) -> Iterator[Diagnostic]:
    """The upper of the heights that are said, where it is over what is built."""
    heights = plan.definition.heights
    if not heights or heights[1] <= _built_m(plan) + SLACK.value:
        return
    words = plan.terms.horses.size, plan.terms.horses.experience
    path: Path = ("heights",)
    for limit, severity in ((STOP_OVER, Severity.STOP), (CAUTION_OVER, Severity.CAUTION)):
        most = limit.of(*words)
        if heights[1] > most.value + SLACK.value:
            message = f"it may be ridden at {say(plan, heights[1])}"
            yield _too_high(plan, severity, f"{message}, by {horses_text(plan)}", path, most)
            return
    bounces = [leg for leg in between_fences(plan) if not gap_of(leg).strides]
    most = BOUNCE.of(words[1])
    if bounces and heights[1] > most.value + SLACK.value:
        message = f"it may be ridden at {say(plan, heights[1])}, with a bounce"
        yield _too_high(plan, Severity.CAUTION, message, path, most)


def _too_high(
    plan: Plan, severity: Severity, message: str, path: Path, most: Figure
) -> Diagnostic:  # fmt: skip
    return found(
        plan, NAME, severity, message, path, f"up to {say(plan, most.value)} at most",
        limit=most.value, source=most.source, at=plan.fences[0].pose.point,
    )  # fmt: skip


def _whom(plan: Plan, whom: str, low: float, most: Figure) -> Diagnostic:
    message = f"it is said to suit {whom}, and is {say(plan, low)} high"
    return found(
        plan, NAME, Severity.CAUTION, message, ("suits",),
        f"for {whom} no more than {say(plan, most.value)}", figure=low, limit=most.value,
        source=most.source, at=plan.fences[0].pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check, ("limits/bounce-too-high/height",))
