"""A leg in stretches of one gait each, with the time each takes."""

from __future__ import annotations

from msgspec import Struct

from diagram.model.said import Transition
from diagram.path.limits import GaitLimits
from diagram.trade import gaits
from diagram.trade.words import Gait


class Stretch(Struct, frozen=True):
    """Part of a leg in one gait, from and to metres along it. A halt has no length."""

    begin_m: float
    end_m: float
    gait: Gait
    seconds: float

    @property
    def length_m(self) -> float:
        """Metres along the leg."""
        return self.end_m - self.begin_m


def speed_of(gait: Gait, canter: float) -> float:
    """Metres per second in a gait; `canter` is that of the exercise."""
    return canter if gait == "canter" else gaits.gait(gait).speed.typical


def step_of(gait: Gait, canter_stride: float) -> float:
    """Metres of one step in walk or trot: half a stride, in which each foot comes down once.

    The figures are for horses of a 12-ft canter stride; a pony's steps are in proportion to its
    own (derived).
    """
    share = canter_stride / gaits.gait("canter").stride.typical
    return gaits.gait(gait).stride.typical / 2 * share


class LegGround(Struct, frozen=True):
    """A leg as ground to ride on: its length, and what landing and take-off take of it."""

    length_m: float
    landing_m: float
    take_off_m: float


def plain(length: float, gait: Gait, canter: float) -> tuple[Stretch, ...]:
    """One gait all the way."""
    return (Stretch(0.0, length, gait, length / speed_of(gait, canter)),)


def with_transition(
    ground: LegGround,
    gait: Gait,
    transition: Transition,
    own: GaitLimits,
    canter: float,
    canter_stride: float,
) -> tuple[tuple[Stretch, ...], float, float]:
    """The leg in three stretches, and how many metres are missing before and after the middle.

    To come back and to strike off again each want a stride at least.
    """
    length = ground.length_m
    inside, seconds = _inside(transition, canter, canter_stride)
    if transition.after is not None:
        begin = ground.landing_m + transition.after * own.stride_m
    else:
        begin = (length - inside) / 2
    short_before = max(0.0, ground.landing_m + own.stride_m - begin)
    short_after = max(0.0, begin + inside + own.stride_m + ground.take_off_m - length)
    begin = min(max(begin, 0.0), max(length - inside, 0.0))
    end = min(begin + inside, length)
    pace = speed_of(gait, canter)
    before = Stretch(0.0, begin, gait, begin / pace)
    middle = Stretch(begin, end, transition.gait, seconds)
    after = Stretch(end, length, gait, (length - end) / pace)
    return (before, middle, after), short_before, short_after


def _inside(transition: Transition, canter: float, canter_stride: float) -> tuple[float, float]:
    """Metres and seconds spent in the gait of a transition."""
    if transition.gait == "halt":
        return 0.0, transition.seconds or gaits.transition("halt seconds").typical
    pace = speed_of(transition.gait, canter)
    if transition.seconds:
        return transition.seconds * pace, transition.seconds
    length = steps_said(transition) * step_of(transition.gait, canter_stride)
    return length, length / pace


def steps_said(transition: Transition) -> int:
    """Steps of a transition, the usual number where none is said."""
    return transition.steps or round(gaits.transition("walk steps").typical)


def coming_back(
    stretches: tuple[Stretch, ...], gait: Gait, canter: float, stride_m: float, straight_m: float
) -> tuple[Stretch, ...]:
    """The way to a fence that is come to in another gait: changed some strides after landing, where
    the track bends if that is a little sooner, or half way where there is less room."""
    last, back = stretches[-1], gaits.transition("back after a fence")
    wanted = min(max(straight_m, back.low * stride_m), back.typical * stride_m)
    at = last.begin_m + min(wanted, last.length_m / 2)
    rate = last.seconds / last.length_m if last.length_m else 0.0
    kept = Stretch(last.begin_m, at, last.gait, (at - last.begin_m) * rate)
    seconds = (last.end_m - at) / speed_of(gait, canter)
    return (*stretches[:-1], kept, Stretch(at, last.end_m, gait, seconds))


def ending(
    stretches: tuple[Stretch, ...], gaits: tuple[Gait, ...], canter: float, last_m: float
) -> tuple[Stretch, ...]:
    """The last `last_m` metres of the ride in the gaits it finishes in, in parts as long."""
    last = stretches[-1]
    rate = last.seconds / last.length_m if last.length_m else 0.0
    part = last_m / max(sum(gait != "halt" for gait in gaits), 1)
    turn_at = last.end_m - last_m
    out = [Stretch(last.begin_m, turn_at, last.gait, (turn_at - last.begin_m) * rate)]
    for gait in gaits:
        begin = out[-1].end_m
        end = begin if gait == "halt" else min(begin + part, last.end_m)
        seconds = (end - begin) / speed_of(gait, canter) if end > begin else 0.0
        out.append(Stretch(begin, end, gait, seconds))
    return (*stretches[:-1], *out)
