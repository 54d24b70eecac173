"""How each line rides between fences that stand a little off: its length, and whether it is true.

A line is a leg from fence to fence that is built to a distance: straight, or bending. It is
measured along the track from base to base, as in the plan; a bend is ridden on the arc that the
plan has, between fences that stand elsewhere. Turns have no distance to be held to.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from msgspec import Struct

from diagram.exercise.course import Link
from diagram.geometry.bend import saving, vertex_distances
from diagram.geometry.pose import Pose, wrap
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.survey.adjustment import Array
from diagram.survey.places import Places
from diagram.trade.adjustments import adjustments
from diagram.trade.distances import RidesAs
from diagram.trade.words import Units, call
from diagram.units import feet_inches, metres_text

BUILT = ("line", "bend")
FEW_STRIDES = 2
"""Up to so many strides a line is set more exactly."""

KNOWN = 1.96
"""So many standard errors must lie within the tolerance of a line for it to be known."""

NUDGE_M = 1e-3
"""Metres by which a fence is moved to see how a line follows."""


class PlannedLine(Struct, frozen=True):
    """A line as planned, in metres.

    It is set right within `tolerance_m`; from `low_m` to `high_m` it still rides as the strides
    that it was planned for. `half_m` is half the poles of the wider fence.
    """

    leg: PlanLeg
    planned_m: float
    tolerance_m: float
    low_m: float
    high_m: float
    half_m: float

    @property
    def ends(self) -> tuple[str, str]:
        """Names of its fences in the order jumped."""
        assert self.leg.first is not None
        assert self.leg.second is not None
        return self.leg.first.jump.fence, self.leg.second.jump.fence


class LineNow(Struct, frozen=True):
    """A line between fences as they stand. Metres and radians.

    `skew` is how far its first and its second fence are turned to the left, against the straight
    way from the one to the other, of what the plan has. What the tapes do not tell is None.
    `sigma_m` is the standard error of the length.
    """

    line: PlannedLine
    length_m: float | None
    sigma_m: float
    skew: tuple[float | None, float | None]

    @property
    def off_m(self) -> float:
        """Longer than planned by so much; 0 where it is not known."""
        return 0.0 if self.length_m is None else self.length_m - self.line.planned_m

    @property
    def crooked(self) -> float:
        """The share of the tolerance by which pole ends are nearer or further than the middle."""
        return (
            max(abs(skew or 0.0) for skew in self.skew) * self.line.half_m / self.line.tolerance_m
        )

    @property
    def as_asked(self) -> bool:
        """Set as exactly as a crew should."""
        return abs(self.off_m) <= self.line.tolerance_m and self.crooked <= 1.0

    @property
    def rideable(self) -> bool:
        """Still the strides that were planned, and straight."""
        length = self.line.planned_m + self.off_m
        return self.line.low_m <= length <= self.line.high_m and self.crooked <= 1.0

    @property
    def used(self) -> float:
        """The largest share of the tolerance that is used up; 1 is the edge."""
        return max(abs(self.off_m) / self.line.tolerance_m, self.crooked)

    @property
    def known(self) -> bool:
        """Whether the tapes say how long it is."""
        return self.length_m is not None


def lines_of(plan: Plan, within_m: float | None = None) -> tuple[PlannedLine, ...]:
    """Every line of a plan. `within_m` is asked of all, in place of what is usual."""
    return tuple(
        _line(leg, within_m)
        for leg in plan.legs
        if leg.shape in BUILT and leg.first is not None and leg.second is not None
    )


def _line(leg: PlanLeg, within_m: float | None) -> PlannedLine:
    assert leg.first is not None
    assert leg.second is not None
    rides = leg.rides
    strides = leg.strides if leg.strides is not None else rides.strides if rides else None
    asked = leg.asked
    if asked is None and rides is not None and rides.fits:
        asked = leg.resolved.distance(rides.strides)
    usual = adjustments()
    few = strides is not None and strides <= FEW_STRIDES
    figure = usual.set_within.one_and_two_strides if few else usual.set_within.line
    tolerance = within_m or figure.value
    low, high = (asked.low_m, asked.high_m) if asked else (-math.inf, math.inf)
    if asked is None:
        low, high = leg.track_m - tolerance, leg.track_m + tolerance
    half = max(c.fence.fence.measures.width_m for c in (leg.first, leg.second)) / 2
    # A plan that is itself at the edge of a range is not to be mended here.
    return PlannedLine(
        leg, leg.track_m, tolerance, min(low, leg.track_m), max(high, leg.track_m), half
    )


class Ruler:
    """Measures the lines of one plan between fences at other places."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.placed = {fence.name: fence for fence in plan.fences}

    def target(self, leg: PlanLeg, first: Crossing, second: Crossing) -> float | None:
        """The length of a bend on the planned arc, or on the largest that its ends leave room for:
        straight, arc, straight, with no jump from the one to the other."""
        ends = vertex_distances(first.leave, second.enter)
        if leg.shape != "bend" or ends is None or not math.isfinite(leg.min_radius_m):
            return leg.target_m
        turn = wrap(second.enter.heading - first.leave.heading)
        room = min(ends) / max(math.tan(abs(turn) / 2), 1e-9)
        return sum(ends) - min(leg.min_radius_m, room) * saving(turn)

    def arcs(self, poses: Mapping[str, Pose]) -> dict[Link, float]:
        """For every bend of the plan its length on the planned arc, with fences at `poses`."""
        out = {}
        for leg in self.plan.legs:
            if leg.first is None or leg.second is None or leg.shape != "bend":
                continue
            length = self.target(leg, *self._crossings(leg, poses))
            if length is not None:
                out[leg.link] = length
        return out

    def _crossings(self, leg: PlanLeg, poses: Mapping[str, Pose]) -> tuple[Crossing, Crossing]:
        assert leg.first is not None
        assert leg.second is not None
        first, second = leg.first.jump, leg.second.jump
        return (
            Crossing(first, self.placed[first.fence].fence.at(poses[first.fence])),
            Crossing(second, self.placed[second.fence].fence.at(poses[second.fence])),
        )

    def measure(self, line: PlannedLine, poses: Mapping[str, Pose]) -> tuple[float, float, float]:
        """Length in metres; how much the first and the second fence are turned from the plan.

        A straight line is as long as the way from base to base, however its fences are turned; a
        bend as its straights and its arc. Neither is ridden anew: a rider's line jumps by an inch
        or more where it passes from one shape to another, and tapes would be worth less for it.
        How crooked a line is the turns of its fences say.
        """
        leg = line.leg
        assert leg.first is not None
        assert leg.second is not None
        first, second = self._crossings(leg, poses)
        length = self.target(leg, first, second) if leg.shape == "bend" else None
        if length is None:
            length = math.dist(first.leave.point, second.enter.point)
        now, planned = _angles(first, second), _angles(leg.first, leg.second)
        return length, wrap(now[0] - planned[0]), wrap(now[1] - planned[1])

    def now(
        self, line: PlannedLine, poses: Mapping[str, Pose], places: Places | None = None
    ) -> LineNow:
        """A line between fences at `poses`; with `places` only what the tapes tell of it."""
        length, first, second = self.measure(line, poses)
        if places is None:
            return LineNow(line, length, 0.0, (first, second))
        rows = self.gradients(line, poses, places)
        sigma, *ends = np.sqrt(np.diag(places.adjustment.covariance_of(rows)))
        known = KNOWN * sigma <= line.tolerance_m
        skew = [
            turn if known and KNOWN * end <= line.tolerance_m else None
            for turn, end in zip((first, second), ends, strict=True)
        ]
        return LineNow(line, length if known else None, float(sigma), (skew[0], skew[1]))

    def gradients(self, line: PlannedLine, poses: Mapping[str, Pose], places: Places) -> Array:
        """How the figures of a line, in metres at the pole ends, follow the tapes (3, n)."""
        out = np.zeros((3, len(places.adjustment.x)))
        for name in dict.fromkeys(line.ends):
            columns = []
            for n in range(3):
                step = [NUDGE_M * (k == n) for k in range(3)]
                there, back = (
                    np.array(self.measure(line, {**poses, name: _moved(poses[name], step, sign)}))
                    for sign in (1, -1)
                )
                columns.append((there - back) / (2 * NUDGE_M))
            out += np.array(columns).T @ places.moves[name]
        out[1:] *= line.half_m
        return out


def _angles(first: Crossing, second: Crossing) -> tuple[float, float]:
    """How far each fence is turned left of the straight way from base to base."""
    (ax, ay), (bx, by) = first.leave.point, second.enter.point
    way = math.atan2(by - ay, bx - ax)
    return wrap(first.leave.heading - way), wrap(second.enter.heading - way)


def _moved(pose: Pose, step: list[float], sign: int) -> Pose:
    x, y, turn = (sign * value for value in step)
    return Pose(pose.x + x, pose.y + y, pose.heading + turn)


def rides_now(now: LineNow, units: Units) -> RidesAs | None:
    """As how many strides a line rides; None where it is not known, or nobody counts."""
    leg = now.line.leg
    if now.length_m is None or leg.rides is None or now.length_m <= 0:
        return None
    return leg.resolved.rides_as(now.length_m, units)


def how_it_rides(now: LineNow, units: Units) -> str:
    """``61'4": a forward four, 3 in long per stride``."""
    if now.length_m is None:
        return "not known from these tapes"
    length = feet_inches(now.length_m) if units == "feet" else metres_text(now.length_m)
    rides = rides_now(now, units)
    if rides is not None:
        asked = now.line.leg.strides
        other = asked is not None and rides.fits and rides.strides != asked
        return f"{length}: {rides.words}" + (f", in place of {call(asked or 0)}" if other else "")
    return f"{length}: {off_words(now.off_m, units)}"


def off_words(off_m: float, units: Units) -> str:
    """``9 in longer than planned``, ``as planned``."""
    text = small(abs(off_m), units)
    if text.startswith("0"):
        return "as planned"
    return f"{text} {'longer' if off_m > 0 else 'shorter'} than planned"


def small(metres: float, units: Units) -> str:
    """A short length: ``9 in``, ``2'3"``, ``23 cm``, ``1.20 m``."""
    if units == "metres":
        return f"{round(metres * 100)} cm" if metres < 0.995 else metres_text(metres)
    inches = round(metres / 0.0254)
    return f"{inches} in" if inches < 24 else feet_inches(metres)
