"""What turns, straights and free ground these horses want, by gait. Metres."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from diagram.exercise.legs import ResolvedLeg
from diagram.path.room import Manner
from diagram.trade import gaits
from diagram.trade.figures import Figure
from diagram.trade.horses import Horses, usual_stride
from diagram.trade.riding import riding
from diagram.trade.words import EXPERIENCES, Gait


class GaitLimits(Struct, frozen=True):
    """Limits in one gait.

    `stride_m` is one stride of it, `landing_m` the ground from a fence to the first stride's
    landing (half a stride), `floor_radius` a bend nobody should ride tighter, `liked_strides` the
    straight strides liked before a fence.
    """

    gait: Gait
    stride_m: float
    landing_m: float
    floor_radius: float
    manner: Manner
    liked_strides: float


class Limits(Struct, frozen=True):
    """Limits in every gait, for one kind of horse."""

    walk: GaitLimits
    trot: GaitLimits
    canter: GaitLimits

    def for_gait(self, gait: Gait) -> GaitLimits:
        """Limits of a gait; a halt is ridden out of as a walk."""
        return {"walk": self.walk, "trot": self.trot, "canter": self.canter}.get(gait, self.walk)

    def for_leg(self, leg: ResolvedLeg) -> GaitLimits:
        """Limits of the gait that a way turns in.

        That is the one it is begun in; but a horse that comes back to a slower one for the next
        fence goes out straight until it has, and turns in that.
        """
        own, slower = self.for_gait(leg.gait), self.for_gait(leg.link.arrives)
        if _over_poles(leg):
            return _straight_at_poles(own)
        if not _comes_back(leg):
            return own
        out = own.landing_m + gaits.transition("back after a fence").low * own.stride_m
        return replace(slower, manner=replace(slower.manner, out=out))


def _over_poles(leg: ResolvedLeg) -> bool:
    """Whether a turn leads in walk or trot from one pole on the ground to the next."""
    ends = (leg.first, leg.second)
    poles = all(fence is not None and fence.kind.ridden_over for fence in ends)
    gaits = {leg.gait, leg.link.arrives}
    turns = leg.link.way is not None and leg.link.way.shape == "turn"
    return poles and turns and "canter" not in gaits


def _straight_at_poles(limits: GaitLimits) -> GaitLimits:
    """In walk and trot a horse is straight beside a pole, and does not land from it."""
    straight = riding().turns.beside_a_pole.value * limits.stride_m
    manner = replace(limits.manner, out=straight, into=straight, wanted_straight=straight)
    return replace(limits, landing_m=0.0, manner=manner)


def _comes_back(leg: ResolvedLeg) -> bool:
    link = leg.link
    turns = link.way is not None and link.way.shape == "turn" and link.way.transition is None
    order: tuple[Gait, ...] = ("halt", "walk", "trot", "canter")
    slower = order.index(link.arrives) < order.index(leg.gait)
    return turns and slower and link.first is not None and not link.inner


def size_share(horses: Horses) -> float:
    """How much room a horse of this size takes up in a turn, of a horse's: in proportion to the
    usual stride of its size (common practice, no source)."""
    return usual_stride(horses.size).value / usual_stride("horse").value


def least_radius(gait: Gait, horses: Horses) -> Figure:
    """The tightest turn that is fair to these horses; its source says where it is scaled."""
    return _scaled(gaits.turn(gait).least(horses.experience), horses)


def floor_radius(gait: Gait, horses: Horses) -> Figure:
    """The tightest turn that anyone should ride on horses of this size."""
    return _scaled(gaits.turn(gait).floor, horses)


def _scaled(figure: Figure, horses: Horses) -> Figure:
    share = size_share(horses)
    if share == 1.0:
        return figure
    source = f"{figure.source}; in proportion to the stride of a {horses.size} (common practice)"
    return replace(figure, value=figure.value * share, source=source)


def limits_for(horses: Horses) -> Limits:
    """The limits of `horses`, from the figures of the trade."""
    return Limits(*(_of_gait(gait, horses) for gait in ("walk", "trot", "canter")))


def _of_gait(gait: Gait, horses: Horses) -> GaitLimits:
    share = size_share(horses)
    stride = horses.stride_m if gait == "canter" else gaits.gait(gait).stride.typical * share
    least, liked = least_radius(gait, horses).value, riding().turns.liked_over_least.value
    floor = floor_radius(gait, horses).value
    landing = horses.stride_m / 2
    straight = gaits.straight_strides()
    rail, standards = gaits.clearance("track to rail"), gaits.clearance("track to standards")
    fair = sorted({gaits.turn(gait).least(experience).value * share for experience in EXPERIENCES})
    manner = Manner(
        least_radius=least,
        liked_radius=least * liked,
        out=landing + stride,
        into=landing + stride,
        wanted_straight=landing + straight.before.least.value * stride,
        liked_straight=landing + straight.before.wanted.value * stride,
        stride=stride,
        fair=tuple(fair),
        rail=rail.low,
        fences=standards.low,
        radii=tuple(
            sorted({r * s for r in fair for s in (1.0, liked)} | {s * floor for s in TIGHTER})
        ),
    )
    return GaitLimits(gait, stride, landing, floor, manner, straight.before.wanted.value)


TIGHTER = (0.6, 0.8, 1.0)
"""Shares of the least radius for anyone that are tried where no fair turn fits: it is drawn as
well as it can be, and found."""
