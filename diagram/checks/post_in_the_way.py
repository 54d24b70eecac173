"""post-in-the-way: the track or a fence too close to a post that stands out in the arena."""

from collections.abc import Iterable

import numpy as np

from diagram.checks.rule import LAST_DIGIT, Rule, found, say
from diagram.diagnostics import Diagnostic, Severity
from diagram.exercise.arena import POST_M
from diagram.geometry.region import segment_distances
from diagram.planning import Plan
from diagram.trade import gaits
from diagram.trade.limits import Limit

NAME = "post-in-the-way"
SLACK = Limit(NAME, "slack")
STOP_UNDER = Limit(NAME, "stop under")
STEP_M = 0.25


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for name, post in plan.arena.obstacles.items():
        at = np.array([post])
        yield from _tracks(plan, name, at)
        yield from _fences(plan, name, at)


def _tracks(plan: Plan, name: str, at: np.ndarray) -> Iterable[Diagnostic]:
    keep = gaits.clearance("track to standards")
    for leg in plan.legs:
        points = leg.curve.points(STEP_M)
        gaps = segment_distances(points, at, at)[:, 0] - POST_M
        closest = int(gaps.argmin())
        gap = float(gaps[closest])
        if gap >= keep.low - SLACK.value:
            continue
        yield found(
            plan, NAME, Severity.STOP if gap < STOP_UNDER.value else Severity.CAUTION,
            f"the track passes {say(plan, max(gap, 0.0))} from {name}", leg.path,
            f"{say(plan, keep.low)} is wanted past a post: move the fences, or pad and mark it",
            figure=gap, limit=keep.low, source=keep.source,
            at=(float(points[closest][0]), float(points[closest][1])),
        )  # fmt: skip


def _fences(plan: Plan, name: str, at: np.ndarray) -> Iterable[Diagnostic]:
    keep = gaits.clearance("fence to rail")
    for fence in plan.fences:
        a, b = (np.array([end]) for end in fence.span)
        gap = float(segment_distances(at, a, b)[0, 0]) - fence.fence.half_thick_m - POST_M
        if gap >= keep.low - LAST_DIGIT:
            continue
        yield found(
            plan, NAME, Severity.STOP if gap < 0 else Severity.CAUTION,
            f"{fence.name} stands {say(plan, max(gap, 0.0))} from {name}", fence.fence.path[:2],
            f"{say(plan, keep.low)} is wanted between them", key=True,
            figure=gap, limit=keep.low, source=keep.source, at=fence.pose.point,
        )  # fmt: skip


RULE = Rule(
    NAME,
    _check,
    (
        "gaits/clearances/track to standards",
        "gaits/clearances/fence to rail",
    ),
)
