"""By how much a leg misses what is published for its count, and what that is worth."""

from __future__ import annotations

from diagram.judging.rows import is_pole
from diagram.planning import Plan, PlanLeg
from diagram.trade.bands import Band
from diagram.trade.distances import Distance
from diagram.trade.riding import riding


def misses_by(plan: Plan, leg: PlanLeg, asked: Distance) -> float:
    """Metres that the track is too long (negative: too short) by every figure known.

    Round a bend the horse takes a shorter step than on a line, as published for circles.
    """
    off = asked.misses_by(leg.track_m)
    if off >= 0 or leg.shape != "bend":
        return off
    return min(off, round_the_bend(plan, leg, asked.strides).misses_by(leg.track_m), key=abs)


def round_the_bend(plan: Plan, leg: PlanLeg, strides: int) -> Band:
    """The band of a count ridden round a bend: more of the shorter step the more it turns."""
    steps = riding().circle_step
    share = min(1.0, abs(leg.curve.turn) / (riding().turns.a_turn.value * 3))
    normal = plan.terms.horses.stride_m
    short = steps.low * normal / riding().stride_between.typical
    return Band((normal + (short - normal) * share) * (strides + 1), normal * (strides + 1),
                steps.source)  # fmt: skip


def known_counts(plan: Plan, leg: PlanLeg) -> bool:
    """Whether the track of a leg without a count rides in any that is known."""
    if leg.rides is None or leg.rides.fits:
        return True
    if leg.shape != "bend":
        return False
    counts = range(max(leg.rides.strides - 1, 0), leg.rides.strides + 3)
    return any(round_the_bend(plan, leg, n).misses_by(leg.track_m) == 0.0 for n in counts)


def highest_m(leg: PlanLeg) -> float:
    """Metres of the higher fence at the ends of a leg; poles on the ground are nothing."""
    ends = [end for end in (leg.first, leg.second) if end is not None]
    return max((0.0 if is_pole(e) else e.fence.fence.measures.height_m for e in ends), default=0.0)
