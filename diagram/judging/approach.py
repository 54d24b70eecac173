"""How a fence is come to: in which gait, and over how many strides of it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from msgspec import Struct

from diagram.path.limits import least_radius
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.trade.words import Gait


class Approach(Struct, frozen=True):
    """The last stretch before a fence in one gait.

    `strides` are whole strides of it and parts, take-off not counted, and of a way in only those
    after the last turn that is too tight for these horses; `opens` says that the ride
    begins here, `changed` that the horse has come out of another gait on the way.
    """

    leg: PlanLeg
    fence: Crossing
    gait: Gait
    strides: float
    opens: bool
    changed: bool


def approaches(plan: Plan, fair_turn: float = 1.0) -> Iterator[Approach]:
    """How every fence and pole of the ride is come to, those inside combinations left out.

    A turn of a way in under the share `fair_turn` of the least radius is no part of an approach.
    """
    for leg in plan.legs:
        if leg.second is None or leg.link.inner:
            continue
        last = leg.ridden.stretches[-1]
        stride = plan.limits.for_gait(last.gait).stride_m
        off = leg.ridden.ground.take_off_m if last.gait == "canter" else 0.0
        length = min(last.length_m, _after_tight_turns(plan, leg, last.gait, fair_turn))
        yield Approach(
            leg=leg,
            fence=leg.second,
            gait=last.gait,
            strides=max(0.0, length - off) / max(stride, 0.1),
            opens=leg.first is None,
            changed=len(leg.ridden.stretches) > 1,
        )


def _after_tight_turns(plan: Plan, leg: PlanLeg, gait: Gait, fair_turn: float) -> float:
    """Metres at the end of a way in without a turn too tight to be part of an approach."""
    if leg.first is not None:
        return leg.track_m
    tightest = 1 / (fair_turn * least_radius(gait, plan.terms.horses).value)
    fair = takewhile(
        lambda piece: max(abs(piece.k0), abs(piece.k1)) <= tightest, reversed(leg.curve.pieces)
    )
    return sum(piece.length for piece in fair)
