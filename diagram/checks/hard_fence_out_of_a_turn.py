"""hard-fence-out-of-a-turn: a triple bar or a combination met straight out of a tight half turn.

The turn takes the canter that such a fence wants, and there is no room to find it again.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg, say, strides_text
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.rows import is_pole
from diagram.path.measures import straight_before, straight_strides
from diagram.planning import Plan, PlanLeg
from diagram.trade.limits import Limit

NAME = "hard-fence-out-of-a-turn"
WANTED = Limit(NAME, "wanted")
TURNED = Limit(NAME, "turned")
CIRCLE = Limit(NAME, "circle under")
FROM = Limit(NAME, "from")
SLACK = Limit(NAME, "slack")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    for leg in plan.legs:
        what = _hard(plan, leg)
        if not what or leg.second is None:
            continue
        turned = sum(abs(piece.turn) for piece in leg.curve.pieces)
        radius = leg.tightness(plan.limits).radius_m
        if turned < TURNED.value or radius >= CIRCLE.of(experience).value:
            continue
        straight = straight_before(leg.curve)
        strides = straight_strides(straight, plan.limits.canter)
        if strides >= WANTED.value - SLACK.value:
            continue
        message = (
            f"{what} stands {strides_text(strides)} after a turn of {say(plan, radius)} radius; "
            f"{WANTED.value:.0f} are wanted"
        )
        yield found(
            plan, NAME, Severity.CAUTION, message, leg.path,
            f"ride the turn wider, or put {_name(leg)} further from it",
            figure=strides, limit=WANTED.value, source=WANTED.source,
            at=on_leg(leg, leg.track_m - straight),
        )  # fmt: skip


def _name(leg: PlanLeg) -> str:
    assert leg.second is not None
    return leg.second.fence.fence.whole or leg.second.fence.name


def _hard(plan: Plan, leg: PlanLeg) -> str:
    """The triple bar or combination that a cantered turn leads to; nothing if it is neither."""
    if leg.first is None or leg.second is None or leg.ridden.stretches[-1].gait != "canter":
        return ""
    if is_pole(leg.second) or leg.shape not in ("turn", "rollback"):
        return ""
    fence = leg.second.fence.fence
    if fence.measures.height_m < FROM.of(plan.terms.horses.experience).value - 0.005:
        return ""
    if fence.facts.group == "triple bar":
        return f"{fence.name}, a triple bar,"
    return f"{fence.whole}, a combination," if fence.whole else ""


RULE = Rule(NAME, _check)
