"""How a fence is come to: in which gait, and over how many strides of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.trade import gaits
from diagram.trade.words import Gait


@dataclass(frozen=True, slots=True)
class Approach:
    """The last stretch before a fence in one gait.

    `strides` are whole strides of it and parts, take-off not counted; `opens` says that the ride
    begins here, `changed` that the horse has come out of another gait on the way.
    """

    leg: PlanLeg
    fence: Crossing
    gait: Gait
    strides: float
    opens: bool
    changed: bool


def approaches(plan: Plan) -> Iterator[Approach]:
    """How every fence and pole of the ride is come to, those inside combinations left out."""
    for leg in plan.legs:
        if leg.second is None or leg.link.inner:
            continue
        last = leg.ridden.stretches[-1]
        if last.gait == "canter":
            stride, off = plan.limits.canter.stride_m, leg.ridden.ground.take_off_m
        else:
            stride, off = gaits.gait(last.gait).stride.typical, 0.0
        yield Approach(
            leg=leg,
            fence=leg.second,
            gait=last.gait,
            strides=max(0.0, last.length_m - off) / max(stride, 0.1),
            opens=leg.first is None,
            changed=len(leg.ridden.stretches) > 1,
        )
