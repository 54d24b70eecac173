"""narrow-fence: poles so short that horses of this experience run out beside them."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, fences_of, found, horses_text, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.trade.limits import Limit

NAME = "narrow-fence"
POLES = Limit(NAME, "poles")
SPREAD = Limit(NAME, "poles of a spread")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    for placed in fences_of(plan):
        spread = placed.fence.facts.group in ("spread", "triple bar")
        least = (SPREAD if spread else POLES).of(experience)
        width = placed.fence.measures.width_m
        if placed.fence.kind.ridden_over or width >= least.value - 0.005:
            continue
        message = f"{placed.name} is {say(plan, width)} from wing to wing"
        yield found(
            plan, NAME, Severity.CAUTION, message, placed.fence.path,
            f"for {horses_text(plan)} poles of {say(plan, least.value)} or more, "
            "or guide poles on both sides", figure=width, limit=least.value, source=least.source,
            at=placed.pose.point,
        )  # fmt: skip


RULE = Rule(NAME, _check)
