"""trotted-fence-too-large: a fence come to in trot or walk that is too high or too wide for it.

So with raised poles that are stepped over one after another."""

from collections.abc import Iterable, Iterator

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.approach import Approach, approaches
from diagram.judging.rows import ground_taken_m, is_pole, is_spread, rows
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "trotted-fence-too-large"
USUAL = Limit(NAME, "usual height")
HEIGHT = Limit(NAME, "height")
STOP_OVER = Limit(NAME, "stop over")
SPREAD = Limit(NAME, "spread")
WATER = Limit(NAME, "water")
SLACK = Limit(NAME, "slack")
WALKED = Limit(NAME, "walked into a row")
NEAR = Limit("combination-too-hard", "two elements within")
RAISED = Limit(NAME, "raised poles")
ROW = Limit(NAME, "raised poles within")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for approach in _to_fences(plan):
        yield from _too_high(plan, approach)
        yield from _too_wide(plan, approach)
    yield from _raised_poles(plan)
    yield from _walked_rows(plan)


def _walked_rows(plan: Plan) -> Iterator[Diagnostic]:
    """Fences that follow within a stride or two, where the first is met from walk."""
    for row in rows(plan, NEAR.value):
        leg, first = row.gaps[0].leg, row.fences[0]
        if leg.link.gait == "walk" and len(row.fences) > WALKED.value:
            message = f"{first.fence.name} is met from walk, and {row.fences[1].fence.name} follows"
            yield found(
                plan, NAME, Severity.CAUTION, message, leg.path, "come to a row of fences in trot",
                figure=len(row.fences), limit=WALKED.value, source=WALKED.source,
                at=first.pose.point,
            )  # fmt: skip


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
    wide, spread = ground_taken_m(fence), is_spread(approach.fence)
    if not wide and not spread:
        return
    limit = (SPREAD if spread else WATER).of(approach.gait, plan.terms.horses.experience)
    over = wide - limit.value
    if over <= SLACK.value and fence.facts.group != "triple bar":
        return
    slow = approach.gait == "walk" or fence.facts.group == "triple bar" or over > STOP_OVER.value
    stop = spread and slow
    message = (
        f"{fence.name}, {say(plan, wide)} wide, is met from {approach.gait}: "
        f"there is no impulsion for {'a spread' if spread else 'so much water'}"
    )
    hint = "build it as a vertical, or come to it in canter"
    yield found(
        plan, NAME, Severity.STOP if stop else Severity.CAUTION, message,
        approach.fence.jump.path, hint if spread else "begin over less water",
        figure=wide, limit=limit.value, source=limit.source,
        at=approach.fence.pose.point,
    )  # fmt: skip


RULE = Rule(NAME, _check, ("limits/combination-too-hard/two elements within",))
