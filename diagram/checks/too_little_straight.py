"""too-little-straight: not enough straight strides between a fence and the turn beside it."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan, PlanLeg
from diagram.ride.turns import NEARLY_STRAIGHT
from diagram.trade import gaits

NAME = "too-little-straight"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    wanted = gaits.straight_strides()
    canter = plan.limits.canter
    for leg in plan.legs:
        if leg.curve.tightest < NEARLY_STRAIGHT or leg.ridden.stretches[0].gait != "canter":
            continue
        ends = []
        bend = leg.shape == "bend"
        if leg.first is not None:
            least = wanted.in_a_bending_line if bend else wanted.after.least
            s = _straight(leg)
            ends.append(("after", leg.first.jump.fence, s, s, least))
        if leg.second is not None:
            least = wanted.in_a_bending_line if bend else wanted.before.least
            s = _straight(leg, from_end=True)
            ends.append(("before", leg.second.jump.fence, s, leg.track_m - s, least))
        for where, fence, metres, place, least in ends:
            strides = max(0.0, (metres - canter.landing_m) / canter.stride_m)
            if strides >= least.value - 0.25:
                continue
            message = (
                f"{strides:.1f} straight strides {where} {fence}; {least.value:.0f} are wanted"
            )
            hint = "ride the turn wider, or give the bend more room"
            yield found(
                plan, NAME, Severity.CAUTION if strides < 0.75 else Severity.NOTE, message,
                leg.path, hint, figure=strides, limit=least.value, source=least.source,
                at=on_leg(leg, place),
            )  # fmt: skip


def _straight(leg: PlanLeg, from_end: bool = False) -> float:
    """Metres from one end until the curve bends noticeably."""
    pieces = reversed(leg.curve.pieces) if from_end else iter(leg.curve.pieces)
    total = 0.0
    for piece in pieces:
        bend = max(abs(piece.k0), abs(piece.k1))
        if bend > NEARLY_STRAIGHT:
            return total + piece.length * NEARLY_STRAIGHT / bend
        total += piece.length
    return total


RULE = Rule(NAME, _check)
