"""turn-too-tight: a bend of the track tighter than the gait and the horses allow.

Under the floor for the gait it is a stop, else a caution.
"""

from collections.abc import Iterable
from dataclasses import replace

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.path.natural_turn import natural_turn
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits

NAME = "turn-too-tight"
SLACK_M = 0.05


def _check(plan: Plan) -> Iterable[Diagnostic]:
    experience = plan.terms.horses.experience
    for leg in plan.legs:
        gait = leg.ridden.stretches[0].gait
        least = gaits.turn(gait).least(experience)
        floor = gaits.turn(gait).floor
        radius = leg.min_radius_m
        if radius >= least.value - SLACK_M:
            continue
        under = radius < floor.value - SLACK_M
        message = (
            f"a turn of {radius:.1f} m radius in {gait}; "
            f"{experience} horses want {least.value:.1f} m"
        )
        hint = "move the fences apart, ride the turn wider, or come back a gait"
        if under:
            hint = _other_hand(plan, leg) or hint
        yield found(
            plan, NAME, Severity.STOP if under else Severity.CAUTION, message, leg.path, hint,
            figure=radius, limit=least.value, source=least.source, at=on_leg(leg, _tightest(leg)),
        )  # fmt: skip


def _tightest(leg: PlanLeg) -> float:
    """Metres along the leg to the middle of its tightest part."""
    at, best = 0.0, (0.0, 0.0)
    for piece in leg.curve.pieces:
        sharpest = max(abs(piece.k0), abs(piece.k1))
        if piece.k0 == piece.k1 and sharpest >= best[0]:
            best = (sharpest, at + piece.length / 2)
        elif sharpest > best[0]:
            best = (sharpest, at + (piece.length if abs(piece.k1) > abs(piece.k0) else 0.0))
        at += piece.length
    return best[1]


def _other_hand(plan: Plan, leg: PlanLeg) -> str:
    """What the same turn would be to the other hand, worked out; nothing if no better."""
    way = leg.link.way
    if leg.first is None or leg.second is None or way is None or way.shape != "turn":
        return ""
    limits = plan.limits.for_gait(leg.ridden.stretches[0].gait)
    manner = replace(limits.manner, wide=not way.tight)
    start, end = leg.first.leave, leg.second.enter
    other = natural_turn(start, end, not way.left, plan.room, manner)
    inside = float(plan.arena.region.inside(other.points(0.5)).min())
    if other.min_radius < limits.floor_radius or inside < 0.5:
        return "it cannot be ridden to either hand from there: move or turn one of the fences"
    word = "right" if way.left else "left"
    return f"to the {word} it would be {other.min_radius:.1f} m: write {word}, or move the fences"


RULE = Rule(NAME, _check)
