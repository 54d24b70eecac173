"""A change of gait inside a line: where it begins and ends, and the canter on both sides of it."""

from __future__ import annotations

from msgspec import Struct

from diagram.ride.stretches import Stretch
from diagram.ride.strides import Spot
from diagram.trade import gaits
from diagram.trade.words import Gait
from diagram.units import Units, length_text


class CanterSide(Struct, frozen=True):
    """The canter before or after: its strides, metres with landing or take-off, and seconds."""

    strides: int
    stride_m: float
    length_m: float
    seconds: float

    @property
    def speed(self) -> float:
        """Metres per second by the clock."""
        return self.length_m / self.seconds if self.seconds else 0.0


class InAndOut(Struct, frozen=True):
    """The canter in beside the canter out.

    From `begin_m` to `end_m` along the leg another gait is ridden: a cone may stand at each.
    `ask_m` is the last place to ask for it, so that the horse is through in time. What is
    missing before and after it is in metres; 0 where there is room.
    """

    gait: Gait
    canter_in: CanterSide
    canter_out: CanterSide
    ask_m: float
    begin_m: float
    end_m: float
    short_before_m: float
    short_after_m: float
    normal_speed: float
    normal_stride_m: float

    @property
    def slower_by(self) -> float:
        """Metres per second by which the canter out is slower, if the rhythm stays the same."""
        rhythm = self.normal_speed / self.normal_stride_m
        return (self.canter_in.stride_m - self.canter_out.stride_m) * rhythm

    def difference(self, units: Units = "feet") -> str:
        """What differs, in words: ``2 strides more, 23' longer``; or that nothing does."""
        strides = self.canter_out.strides - self.canter_in.strides
        length = self.canter_out.length_m - self.canter_in.length_m
        seconds = self.canter_out.seconds - self.canter_in.seconds
        parts = []
        if strides:
            more = "more" if strides > 0 else "fewer"
            parts.append(f"{abs(strides)} stride{'s' * (abs(strides) > 1)} {more}")
        if abs(length) >= SAME_M:
            way = "longer" if length > 0 else "shorter"
            parts.append(f"{length_text(abs(length), units)} {way}")
        if abs(seconds) >= SAME_S:
            parts.append(f"{abs(seconds):.1f} s {'more' if seconds > 0 else 'less'}")
        each = self.canter_out.stride_m - self.canter_in.stride_m
        both = self.canter_in.strides and self.canter_out.strides
        if both and abs(each) >= SAME_STRIDE_M:
            way = "longer" if each > 0 else "shorter"
            speed = abs(self.slower_by) * 60
            parts.append(
                f"each stride {length_text(abs(each), units)} {way}, in the same rhythm "
                f"{speed:.0f} m/min {'faster' if each > 0 else 'slower'}"
            )
        return ", ".join(parts) or "no difference"


SAME_M, SAME_S, SAME_STRIDE_M = 0.15, 0.05, 0.05
"""What a tape, a watch and an eye on the stride can tell apart (common practice, no source)."""


def in_and_out(
    stretches: tuple[Stretch, ...],
    spots: tuple[Spot, ...],
    short: tuple[float, float],
    speed: float,
    stride_m: float,
) -> InAndOut:
    """The two canters of a leg of three stretches."""
    before, middle, after = stretches
    name = "canter to halt" if middle.gait == "halt" else "canter to walk"
    ask = max(0.0, middle.begin_m - gaits.transition(name).low * stride_m)
    return InAndOut(
        gait=middle.gait,
        canter_in=_side(before, spots, 0),
        canter_out=_side(after, spots, 2),
        ask_m=ask,
        begin_m=middle.begin_m,
        end_m=middle.end_m,
        short_before_m=short[0],
        short_after_m=short[1],
        normal_speed=speed,
        normal_stride_m=stride_m,
    )


def _side(stretch: Stretch, spots: tuple[Spot, ...], index: int) -> CanterSide:
    own = [spot for spot in spots if spot.stretch == index and spot.what in ("stride", "step")]
    each = sum(spot.length_m for spot in own) / len(own) if own else 0.0
    return CanterSide(len(own), each, stretch.length_m, stretch.seconds)
