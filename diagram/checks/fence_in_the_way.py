"""fence-in-the-way: the track runs into, or too close past, a fence that it does not jump."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from diagram.checks.rule import Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.fence import PlacedFence
from diagram.geometry.pose import Point
from diagram.geometry.region import segment_distances
from diagram.path.finish import free_ahead_m
from diagram.path.turns_short import free_of
from diagram.planning import Plan, PlanLeg, room_of
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "fence-in-the-way"
SLACK = Limit(NAME, "slack")
RUNS_INTO = Limit(NAME, "runs into")
STOP_UNDER = Limit(NAME, "stop under")
BEFORE_THE_END = Limit(NAME, "before the end")
STEP_M = 0.25


def _check(plan: Plan) -> Iterable[Diagnostic]:
    keep = gaits.clearance("track to standards")
    for leg in plan.legs:
        for fence, gap, place in passed(leg, plan.fences, keep.low):
            if gap >= keep.low - SLACK.value:
                continue
            if fence.fence.kind.ridden_over and gap > RUNS_INTO.value:
                # A pole has no standards, and the next pole of a row is always near.
                continue
            how = "runs into" if gap < RUNS_INTO.value else f"passes {say(plan, gap)} from"
            wanted = say(plan, keep.low)
            hint = f"{wanted} is wanted past the standards: move {fence.name} or the track"
            yield found(
                plan, NAME, Severity.STOP if gap < STOP_UNDER.value else Severity.CAUTION,
                f"the track {how} {fence.name}", leg.path, hint,
                figure=gap, limit=keep.low, source=keep.source,
                at=place,
            )  # fmt: skip

    yield from _ahead(plan)


def _ahead(plan: Plan) -> Iterator[Diagnostic]:
    """Fences that the ride ends before, and heads for: what does not stop there runs into them."""
    leg = plan.legs[-1]
    if leg.second is not None:
        return
    end = leg.curve.end
    if free_ahead_m(end, plan.room) >= BEFORE_THE_END.value:
        return
    for fence in plan.fences:
        alone = room_of(plan.arena, (fence,), posts=False)
        ahead = free_ahead_m(end, alone)
        inside = alone.clearance(np.array(end.point)) <= 0
        if ahead >= BEFORE_THE_END.value or inside or fence.fence.kind.ridden_over:
            continue
        yield found(
            plan, NAME, Severity.CAUTION, f"the ride ends {say(plan, ahead)} before {fence.name}",
            leg.path, f"finish with the rail, on a circle or further from it, or move {fence.name}",
            figure=ahead, limit=BEFORE_THE_END.value, source=BEFORE_THE_END.source, at=end.point,
        )  # fmt: skip


def passed(
    leg: PlanLeg, fences: Sequence[PlacedFence], within_m: float
) -> Iterator[tuple[PlacedFence, float, Point]]:
    """Fences with the metres between them and a leg that does not jump them there, and where it is
    nearest; without those that it only jumps, and those whose ground lies further than `within_m`
    off the box about the leg."""
    points = leg.curve.points(STEP_M)
    middles = np.array([fence.pose.point for fence in fences]).reshape(-1, 2)
    reaches = np.array([fence.reach_m + fence.fence.half_thick_m for fence in fences])
    reach = (reaches + within_m)[:, None]
    close = (middles + reach >= points.min(axis=0)) & (middles - reach <= points.max(axis=0))
    free = free_of(leg.link, points)
    for fence in (fences[n] for n in np.flatnonzero(close.all(axis=1)).tolist()):
        near = points[~free[fence.name]] if fence.name in free else points
        if not len(near):
            continue
        a, b = (np.array([end]) for end in fence.span)
        gaps = segment_distances(near, a, b)[:, 0] - fence.fence.half_thick_m
        closest = int(gaps.argmin())
        yield fence, float(gaps[closest]), (float(near[closest][0]), float(near[closest][1]))


RULE = Rule(NAME, _check, ("gaits/clearances/track to standards",))
