"""The ride along the line: which gait where, on which lead, stride by stride, leg by leg."""

from __future__ import annotations

from msgspec import Struct

from diagram.exercise.course import Course, Path
from diagram.model.said import Lead
from diagram.path.limits import Limits
from diagram.path.line import Leg
from diagram.path.measures import straight_after
from diagram.ride.leads import NO_LEAD, Carried, ChangeDue, carry
from diagram.ride.stretches import (
    LegGround,
    Stretch,
    coming_back,
    ending,
    plain,
    step_of,
    with_transition,
)
from diagram.ride.strides import Spot, shared_out, spots
from diagram.ride.transitions import InAndOut, in_and_out
from diagram.ride.turns import Turn, turns_of
from diagram.ride.versions import Version, next_versions, version
from diagram.trade import jumping
from diagram.trade.horses import Horses
from diagram.trade.words import Gait


class Ridden(Struct, frozen=True):
    """How one leg is ridden.

    `lead` is carried from the fence before (`lead_said`: where in the file that was said),
    `lead_in` into the fence after. `hand` is the lead that the widest turn of the leg asks for,
    None when it hardly turns. `change` is the kind asked for, `changes` all that fall due.
    `spots` are landing, strides and take-off; `ground` what landing and take-off take, `needs`
    the stride that the count said in the file takes, and `others` that of the counts next to it.
    `short_m` is how much room is missing for a transition, if any is.
    """

    stretches: tuple[Stretch, ...]
    lead: Lead | None
    lead_in: Lead | None
    hand: Lead | None
    change: str | None
    short_m: float
    ground: LegGround
    spots: tuple[Spot, ...]
    turns: tuple[Turn, ...]
    changes: tuple[ChangeDue, ...]
    lead_said: Path | None = None
    in_and_out: InAndOut | None = None
    needs: Version | None = None
    others: tuple[Version, ...] = ()

    @property
    def seconds(self) -> float:
        """Time for the leg."""
        return sum(stretch.seconds for stretch in self.stretches)

    @property
    def strides(self) -> int:
        """Canter strides between landing and take-off."""
        return sum(spot.what == "stride" for spot in self.spots)


def ride_legs(
    course: Course,
    legs: tuple[Leg, ...],
    limits: Limits,
    horses: Horses,
    speed: float,
) -> tuple[Ridden, ...]:
    """Gaits, strides, leads and times of all legs in order. `speed` in m/s is of the canter."""
    rider = _Rider(course, limits, horses, speed)
    return tuple(rider.ride(leg) for leg in legs)


class _Rider:
    """Rides the legs in order, remembering the lead and where it was said."""

    def __init__(self, course: Course, limits: Limits, horses: Horses, speed: float) -> None:
        self.course = course
        self.limits, self.horses, self.speed = limits, horses, speed
        self.lead = course.start.lead
        first = course.links[0] if course.links else None
        self.said: Path | None = first.path if first and self.lead else None

    def ride(self, leg: Leg) -> Ridden:
        way, link = leg.link.way, leg.link
        if link.first and link.first.land:
            self.lead, self.said = link.first.land, link.first.path
        gait = leg.resolved.gait
        own, stride = self.limits.for_gait(gait), self.horses.stride_m
        ground = self._ground(leg, gait)
        transition = way.transition if way else None
        short = (0.0, 0.0)
        stretches = plain(leg.length_m, gait, self.speed)
        if transition is not None:
            stretches, *missing = with_transition(ground, gait, transition, own, self.speed, stride)
            short = (missing[0], missing[1])
        turned = link.second is not None and not link.inner and transition is None
        if turned and link.arrives != gait:
            straight = straight_after(leg.curve)
            stretches = coming_back(stretches, link.arrives, self.speed, stride, straight)
        coming_to = tuple(new for new in self.course.finish.gaits if new != gait)
        if link.second is None and coming_to:
            stretches = ending(stretches, coming_to, self.speed, leg.last_m)
        strides = way.strides if way else None
        unit = stride if gait == "canter" else step_of(gait, stride)
        ground = shared_out(ground, len(stretches) == 1, strides, unit)
        turns = turns_of(leg.curve)
        carried = self._carried(leg, gait, turns, ground)
        places = spots(leg.curve, ground, stretches, strides, transition, carried, stride)
        widest = max(turns, key=lambda turn: abs(turn.angle), default=None)
        crossed = None
        if transition is not None and len(stretches) == 3:
            crossed = in_and_out(stretches, places, short, self.speed, stride)
        needs, others = self._versions(leg, gait, ground)
        return Ridden(
            stretches=stretches,
            lead=carried.lead,
            lead_in=carried.lead_in,
            hand=widest.hand if widest else None,
            change=way.change if way else None,
            short_m=max(short),
            ground=ground,
            spots=places,
            turns=turns,
            changes=carried.changes,
            lead_said=carried.said,
            in_and_out=crossed,
            needs=needs,
            others=others,
        )

    def _ground(self, leg: Leg, gait: Gait) -> LegGround:
        """What landing and take-off take of the leg."""
        ends = []
        first, second = leg.resolved.first, leg.resolved.second
        for fence, of in ((first, jumping.landing), (second, jumping.take_off)):
            if fence is None:
                ends.append(0.0)
            elif fence.kind.ridden_over and gait != "canter":
                ends.append(jumping.over_a_pole().value * step_of(gait, self.horses.stride_m))
            else:
                ends.append(of(fence.for_distances, self.horses).value)
        return LegGround(leg.length_m, ends[0], ends[1])

    def _carried(self, leg: Leg, gait: Gait, turns: tuple[Turn, ...], ground: LegGround) -> Carried:
        if gait != "canter":
            self.lead, self.said = None, None
            return NO_LEAD
        free = (ground.landing_m, ground.length_m - ground.take_off_m)
        way = leg.link.way
        carried = carry(self.lead, self.said, turns, way, free, self.horses.stride_m)
        if carried.lead_in != carried.lead:
            self.said = leg.link.path
        elif self.lead is None:
            self.said = None
        self.lead = carried.lead_in
        return carried

    def _versions(
        self, leg: Leg, gait: Gait, ground: LegGround
    ) -> tuple[Version | None, tuple[Version, ...]]:
        """The stride that a counted line or bend needs, and that of the counts next to it."""
        way, link = leg.link.way, leg.link
        counted = link.first and link.second and way and way.shape != "turn"
        if not counted or gait != "canter" or way is None or way.transition or way.strides == 0:
            return None, ()
        free = ground.length_m - ground.landing_m - ground.take_off_m
        about = way.strides or max(1, round(free / self.horses.stride_m))
        if free <= 0:
            return None, ()
        needs = version(ground, about, self.horses.stride_m)
        if link.inner or link.gait != "canter":
            return needs, ()
        return needs, next_versions(ground, about, self.horses.stride_m)
