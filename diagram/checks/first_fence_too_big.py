"""first-fence-too-big: a course that begins over its highest fence, an oxer or a combination."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole, is_spread
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "first-fence-too-big"
OVER = Limit(NAME, "over the others")
WIDE = Limit(NAME, "a wide first fence")
FROM = Limit(NAME, "in courses from")
COMBINATION = Limit(NAME, "a combination from")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    jumped = [c for c in plan.crossings if not is_pole(c)]
    if not jumped:
        return
    first, fence = jumped[0], jumped[0].fence.fence
    wide = WIDE.of(plan.terms.horses.experience)
    if is_spread(first) and fence.depth_m > wide.value + 0.005:
        message = f"{fence.name}, the first fence, is a spread of {say(plan, fence.depth_m)}"
        yield found(
            plan, NAME, Severity.CAUTION, message, first.jump.path,
            "begin over a vertical or a small oxer", figure=fence.depth_m, limit=wide.value,
            source=wide.source, at=first.pose.point,
        )  # fmt: skip
    others = [c.fence.fence.measures.height_m for c in jumped[1:]]
    if len(jumped) < FROM.value or not others:
        return
    from_m = COMBINATION.of(plan.terms.horses.experience)
    after = [c for c in jumped if c.fence.fence.whole != fence.whole]
    if fence.whole and len(after) >= FROM.value - 1 and fence.measures.height_m >= from_m.value:
        message = f"the course begins with a combination, {fence.whole}"
        yield found(
            plan, NAME, Severity.CAUTION, message, first.jump.path,
            "begin over a single fence", figure=fence.measures.height_m, limit=from_m.value,
            source=from_m.source, at=first.pose.point,
        )  # fmt: skip
    if fence.measures.height_m > max(others) + OVER.value + 0.005:
        message = f"{fence.name}, the first fence, is the highest of the course"
        yield found(
            plan, NAME, Severity.NOTE, message, first.jump.path,
            "begin lower, and keep the height for later", figure=fence.measures.height_m,
            limit=max(others), source=OVER.source, at=first.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
