"""The ride along the line: which gait where, on which lead, and how long each leg takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from diagram.layout.course import Course
from diagram.layout.limits import Limits
from diagram.model.said import Lead, Transition
from diagram.track import Leg
from diagram.trade import gaits
from diagram.trade.words import Gait

A_TURN = math.radians(30)
"""A leg that bends less than this is ridden on either lead."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a leg in one gait, from and to metres along it. A halt has no length."""

    begin_m: float
    end_m: float
    gait: Gait
    seconds: float


@dataclass(frozen=True, slots=True)
class Ridden:
    """How one leg is ridden.

    `lead` is carried from the fence before, `lead_in` into the fence after. `hand` is the lead
    that the turn of the leg asks for, None when it hardly turns. `short_m` is how much room
    is missing for the transition, if any is.
    """

    stretches: tuple[Stretch, ...]
    lead: Lead | None
    lead_in: Lead | None
    hand: Lead | None
    change: str | None
    short_m: float = 0.0

    @property
    def seconds(self) -> float:
        """Time for the leg."""
        return sum(stretch.seconds for stretch in self.stretches)


def ride_legs(
    course: Course,
    legs: tuple[Leg, ...],
    limits: Limits,
    speed: float | None,
    poles: frozenset[str] = frozenset(),
) -> tuple[Ridden, ...]:
    """Gaits, leads and times of all legs in order.

    `speed` in m/s is that of the canter. `poles` names the fences that are ridden over in the
    gait of the approach; over any other a horse lands in canter.
    """
    out = []
    lead: Lead | None = course.start.lead
    for leg in legs:
        if leg.link.first and leg.link.first.land:
            lead = leg.link.first.land
        ridden = _ride(leg, course, lead, limits, speed, poles)
        lead = ridden.lead_in
        out.append(ridden)
    return tuple(out)


def speed_of(gait: Gait, canter: float | None) -> float:
    """Metres per second in a gait; the canter may be set for the exercise."""
    if gait == "canter" and canter:
        return canter
    return gaits.gait(gait).speed.typical


def _ride(
    leg: Leg,
    course: Course,
    lead: Lead | None,
    limits: Limits,
    speed: float | None,
    poles: frozenset[str],
) -> Ridden:
    way, link = leg.link.way, leg.link
    turn = leg.curve.turn
    hand: Lead | None = None
    if abs(turn) > A_TURN:
        hand = "left" if turn > 0 else "right"
    gait = _gait_after(leg, poles)
    if gait != "canter":
        lead = None
    change = way.change if way else None
    lead_in = lead
    if change and lead:
        lead_in = "right" if lead == "left" else "left"
    elif lead is None and gait == "canter":
        # Nobody has said which lead: the horse takes the one that its turn asks for.
        lead = lead_in = hand
    transition = way.transition if way else None
    stretches, short = _stretches(leg, gait, transition, limits, speed)
    if link.second is None and course.finish.gait and course.finish.gait != gait:
        stretches = _ending(stretches, course.finish.gait, speed)
    return Ridden(stretches, lead, lead_in, hand, change, short)


def _gait_after(leg: Leg, poles: frozenset[str]) -> Gait:
    """The gait on the leg: that of the approach until the first fence is jumped, then canter."""
    first = leg.link.first
    return leg.link.gait if first is None or first.fence in poles else "canter"


def _stretches(
    leg: Leg, gait: Gait, transition: Transition | None, limits: Limits, speed: float | None
) -> tuple[tuple[Stretch, ...], float]:
    length, pace = leg.length_m, speed_of(gait, speed)
    if transition is None:
        return (Stretch(0.0, length, gait, length / pace),), 0.0
    inside, seconds = _inside(transition, speed)
    own = limits.for_gait(gait)
    if transition.after is not None:
        begin = own.landing_m + transition.after * own.stride_m
    else:
        begin = (length - inside) / 2
    # To come back and to strike off again each want a stride at least, and the fences half.
    margin = own.landing_m + own.stride_m
    short = max(0.0, margin - begin, begin + inside + margin - length)
    begin = min(max(begin, 0.0), max(length - inside, 0.0))
    end = min(begin + inside, length)
    middle = Stretch(begin, end, transition.gait, seconds)
    before = Stretch(0.0, begin, gait, begin / pace)
    after = Stretch(end, length, gait, (length - end) / pace)
    return (before, middle, after), short


def _inside(transition: Transition, speed: float | None) -> tuple[float, float]:
    """Metres and seconds spent in the gait of a transition."""
    if transition.gait == "halt":
        return 0.0, transition.seconds or gaits.transition("halt seconds").typical
    pace = speed_of(transition.gait, speed)
    if transition.seconds:
        return transition.seconds * pace, transition.seconds
    steps = transition.steps or round(gaits.transition("walk steps").typical)
    # A stride is two steps: the same foot comes down every second one.
    length = steps * gaits.gait(transition.gait).stride.typical / 2
    return length, length / pace


def _ending(stretches: tuple[Stretch, ...], gait: Gait, speed: float | None) -> tuple[Stretch, ...]:
    """The last part of the ride in the gait it finishes in."""
    last = stretches[-1]
    length = last.end_m - last.begin_m
    turn_at = last.begin_m + length * (1.0 if gait == "halt" else 0.75)
    rate = last.seconds / length if length else 0.0
    kept = Stretch(last.begin_m, turn_at, last.gait, (turn_at - last.begin_m) * rate)
    rest = last.end_m - turn_at
    seconds = rest / speed_of(gait, speed) if rest else 0.0
    return (*stretches[:-1], kept, Stretch(turn_at, last.end_m, gait, seconds))
