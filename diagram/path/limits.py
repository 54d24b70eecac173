"""What turns, straights and free ground these horses want, by gait. Metres."""

from __future__ import annotations

from dataclasses import dataclass

from diagram.path.room import Manner
from diagram.trade import gaits
from diagram.trade.horses import Horses
from diagram.trade.words import Gait


@dataclass(frozen=True, slots=True)
class GaitLimits:
    """Limits in one gait.

    `stride_m` is one stride of it, `landing_m` the ground from a fence to the first stride's
    landing (half a stride), `floor_radius` a bend nobody should ride tighter.
    """

    gait: Gait
    stride_m: float
    landing_m: float
    floor_radius: float
    manner: Manner


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits in every gait, for one kind of horse."""

    walk: GaitLimits
    trot: GaitLimits
    canter: GaitLimits

    def for_gait(self, gait: Gait) -> GaitLimits:
        """Limits of a gait; a halt is ridden out of as a walk."""
        return {"walk": self.walk, "trot": self.trot, "canter": self.canter}.get(gait, self.walk)


LIKED_OVER_LEAST = 1.25
"""A rider with room takes a turn a quarter wider than the tightest that is fair (common
practice, no source)."""


def limits_for(horses: Horses) -> Limits:
    """The limits of `horses`, from the figures of the trade."""
    return Limits(*(_of_gait(gait, horses) for gait in ("walk", "trot", "canter")))


def _of_gait(gait: Gait, horses: Horses) -> GaitLimits:
    stride = horses.stride_m if gait == "canter" else gaits.gait(gait).stride.typical
    turns = gaits.turn(gait)
    least = turns.least(horses.experience).value
    landing = horses.stride_m / 2
    straight = gaits.straight_strides()
    rail, standards = gaits.clearance("track to rail"), gaits.clearance("track to standards")
    manner = Manner(
        least_radius=least,
        liked_radius=least * LIKED_OVER_LEAST,
        out=landing + stride,
        into=landing + stride,
        wanted_straight=landing + straight.before.least.value * stride,
        liked_straight=landing + straight.before.wanted.value * stride,
        rail=rail.low,
        fences=standards.low,
    )
    return GaitLimits(gait, stride, landing, turns.floor.value, manner)
