"""trotted-fence-too-large: a fence come to in trot or walk that is too high or too wide for it.

So with raised poles that are stepped over one after another."""

from collections.abc import Iterable, Iterator

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.approach import Approach, approaches
from diagram.judging.rows import is_pole, is_spread
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "trotted-fence-too-large"
USUAL = Limit(NAME, "usual height")
HEIGHT = Limit(NAME, "height")
STOP_OVER = Limit(NAME, "stop over")
SPREAD = Limit(NAME, "spread")
SLACK = Limit(NAME, "slack")
RAISED = Limit(NAME, "raised poles")
ROW = Limit(NAME, "raised poles within")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for approach in _to_fences(plan):
        yield from _too_high(plan, approach)
        yield from _too_wide(plan, approach)
    yield from _raised_poles(plan)


def _raised_poles(plan: Plan) -> Iterator[Diagnostic]:
    """The first of a row of poles that lie too high to be stepped over."""
    for leg in plan.legs:
        ends = [end for end in (leg.first, leg.second) if end is not None and is_pole(end)]
        high = max((end.fence.fence.measures.height_m for end in ends), default=0.0)
        row = len(ends) > 1 and leg.track_m <= ROW.value and leg.link.gait in ("trot", "walk")
        if row and high > RAISED.value + SLACK.value:
            message = f"poles {say(plan, high)} off the ground, a step of {leg.link.gait} apart"
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path,
                f"raise them no more than {say(plan, RAISED.value)}", figure=high,
                limit=RAISED.value, source=RAISED.source, at=ends[0].pose.point,
            )  # fmt: skip
            return


def _to_fences(plan: Plan) -> Iterator[Approach]:
    """Slow approaches, each to the first fence behind the poles in front of it."""
    legs = plan.legs
    for approach in approaches(plan):
        if approach.gait not in ("trot", "walk"):
            continue
        fence = approach.fence
        for leg in legs[approach.leg.number + 1 :]:
            if not is_pole(fence) or leg.second is None:
                break
            fence = leg.second
        if not is_pole(fence):
            yield Approach(
                approach.leg, fence, approach.gait, approach.strides, approach.opens,
                approach.changed,
            )  # fmt: skip


def _too_high(plan: Plan, approach: Approach) -> Iterator[Diagnostic]:
    words = approach.gait, plan.terms.horses.experience
    height, fence = approach.fence.fence.fence.measures.height_m, approach.fence
    usual, most = USUAL.of(*words), HEIGHT.of(*words)
    if height <= usual.value + SLACK.value:
        return
    severity, limit = Severity.NOTE, usual
    if height > most.value + SLACK.value:
        over = height > most.value + STOP_OVER.value + SLACK.value
        severity, limit = (Severity.STOP if over else Severity.CAUTION), most
    message = f"{fence.fence.name} is {say(plan, height)} high and met from {approach.gait}"
    yield found(
        plan, NAME, severity, message, fence.jump.path,
        f"from {approach.gait} no more than {say(plan, limit.value)}", figure=height,
        limit=limit.value, source=limit.source, at=fence.pose.point,
    )  # fmt: skip


def _too_wide(plan: Plan, approach: Approach) -> Iterator[Diagnostic]:
    fence = approach.fence.fence.fence
    if not is_spread(approach.fence):
        return
    limit = SPREAD.of(approach.gait, plan.terms.horses.experience)
    over = fence.depth_m - limit.value
    if over <= SLACK.value and fence.facts.group != "triple bar":
        return
    stop = approach.gait == "walk" or fence.facts.group == "triple bar" or over > STOP_OVER.value
    message = (
        f"{fence.name}, {say(plan, fence.depth_m)} wide, is met from {approach.gait}: "
        "there is no impulsion for a spread"
    )
    yield found(
        plan, NAME, Severity.STOP if stop else Severity.CAUTION, message,
        approach.fence.jump.path, "build it as a vertical, or come to it in canter",
        figure=fence.depth_m, limit=limit.value, source=limit.source,
        at=approach.fence.pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check)
