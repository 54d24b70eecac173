"""Fences that are ridden as one: combinations, however they are written."""

from __future__ import annotations

from msgspec import Struct

from diagram.exercise.fence import Fence
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.trade.distances import Distance

WATER = "liverpool"
"""The kind of fence that has water under it."""


class Gap(Struct, frozen=True):
    """One distance inside a row, with the fences at its ends.

    `strides` are those said, or those it rides in; `distance` is what they ask for.
    """

    leg: PlanLeg
    first: Crossing
    second: Crossing
    strides: int
    distance: Distance

    @property
    def off_m(self) -> float:
        """Metres longer (or, negative, shorter) than aimed at."""
        return self.leg.track_m - self.distance.aim_m

    @property
    def off_a_stride_m(self) -> float:
        """The same for each stride taken, landing and take-off together making one."""
        return self.off_m / (self.strides + 1)


class Row(Struct, frozen=True):
    """Fences one after another, no more than two strides apart; poles are passed over."""

    fences: tuple[Crossing, ...]
    gaps: tuple[Gap, ...]

    @property
    def trotted(self) -> bool:
        """Whether the row is ridden into from trot or walk."""
        return self.gaps[0].leg.link.gait != "canter"

    @property
    def height_m(self) -> float:
        """Metres of its highest fence."""
        return max(fence.fence.fence.measures.height_m for fence in self.fences)


def is_pole(crossing: Crossing) -> bool:
    """A pole or a cavaletto, ridden over and not jumped."""
    return crossing.fence.fence.kind.ridden_over


def is_spread(crossing: Crossing) -> bool:
    """An oxer or a triple bar."""
    return crossing.fence.fence.facts.group in ("spread", "triple bar")


def ground_taken_m(fence: Fence) -> float:
    """Metres along the track that a horse must jump over: the spread, or the water under it."""
    water = fence.measures.spread_m if fence.kind.name == WATER else 0.0
    return max(fence.depth_m, water)


def between_fences(plan: Plan) -> tuple[PlanLeg, ...]:
    """The lines and bends from one fence that is jumped to another."""
    return tuple(leg for leg in plan.legs if _is_between(leg))


def _is_between(leg: PlanLeg) -> bool:
    return (
        leg.first is not None
        and leg.second is not None
        and leg.shape in ("line", "bend")
        and not is_pole(leg.first)
        and not is_pole(leg.second)
        and not leg.link.circles
    )


def gap_of(leg: PlanLeg) -> Gap:
    """A leg between two fences as a gap; where no strides are said, in those it rides in.

    A line with another gait in it rides in none; there it is as long as a line of so many.
    """
    assert leg.first is not None
    assert leg.second is not None
    strides = leg.strides if leg.strides is not None else _ridden_in(leg)
    return Gap(leg, leg.first, leg.second, strides, leg.asked or leg.resolved.distance(strides))


def _ridden_in(leg: PlanLeg) -> int:
    if leg.rides:
        return leg.rides.strides
    strides = 0
    while leg.resolved.distance(strides + 1).aim_m <= leg.track_m:
        strides += 1
    return strides


def rows(plan: Plan, within_m: float) -> tuple[Row, ...]:
    """Every combination of the ride: elements, and fences in line `within_m` of each other.

    A bounce or one stride over a pole between two fences does not part them.
    """
    found: list[Row] = []
    open_gaps: list[Gap] = []
    for leg in plan.legs:
        near = leg.shape == "line" and (leg.link.inner or leg.track_m <= within_m)
        if near and _is_between(leg) and leg.track_m <= within_m:
            open_gaps.append(gap_of(leg))
            continue
        if open_gaps:
            found.append(_row(open_gaps))
            open_gaps = []
    if open_gaps:
        found.append(_row(open_gaps))
    return tuple(found)


def _row(gaps: list[Gap]) -> Row:
    return Row((gaps[0].first, *(gap.second for gap in gaps)), tuple(gaps))
