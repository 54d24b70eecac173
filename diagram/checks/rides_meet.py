"""rides-meet: two rides over the same fences that go at once come to one spot.

Between fences, and in line with the first and the last of them: there nobody can turn away.
Further out on the way in and out everybody keeps clear of everybody.
"""

from collections.abc import Iterable, Iterator

import numpy as np

from diagram.checks.rule import Rule, found
from diagram.diagnostics import Diagnostic, Severity
from diagram.geometry.curve import Floats
from diagram.geometry.pose import Point
from diagram.planning import Plan, curve_points
from diagram.trade.limits import Limit

NAME = "rides-meet"
NEAR = Limit(NAME, "track to track")
BESIDE = Limit(NAME, "beside the fences")
ASIDE = Limit(NAME, "out of line by")
APART = Limit(NAME, "from spot to spot")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for other in plan.beside:
        last = len(other.legs) - 1
        theirs = np.concatenate([
            _held(np.array(leg).reshape(-1, 2), n == 0, n == last)
            for n, leg in enumerate(other.legs)
        ])  # fmt: skip
        spots = list(_spots(plan, theirs, NEAR.value))
        if not spots:
            continue
        gap, at, leg = min(spots)
        places = "one spot" if len(spots) == 1 else f"{len(spots)} spots"
        message = f"{plan.name} and {other.name} go at once, and meet at {places}"
        hint = "let one wait, or write rides go: in turn"
        yield found(
            plan, NAME, Severity.CAUTION, message, plan.legs[leg].path, hint,
            figure=gap, limit=NEAR.value, source=NEAR.source, at=at,
        )  # fmt: skip


def _spots(plan: Plan, theirs: Floats, near_m: float) -> Iterator[tuple[float, Point, int]]:
    """Where the track comes that near to another, once for each place, with the leg."""
    told: list[Point] = []
    apart_m = APART.value
    for leg in plan.legs:
        # A circle that is said is ridden where it is drawn: nobody keeps clear by leaving it.
        free_to_go = not leg.link.circles
        ends = (leg.first is None and free_to_go, leg.second is None and free_to_go)
        ours = _held(np.array(curve_points(leg.curve)), *ends)
        close = _around(ours, theirs, near_m)
        if not len(close):
            continue
        gaps = np.linalg.norm(ours[:, None] - close[None], axis=2).min(axis=1)
        order = np.argsort(gaps, kind="stable")
        left = order[gaps[order] <= near_m]
        for x, y in told:
            left = left[np.hypot(ours[left, 0] - x, ours[left, 1] - y) > apart_m]
        while len(left):
            n = left[0]
            at = (float(ours[n][0]), float(ours[n][1]))
            told.append(at)
            yield float(gaps[n]), at, leg.number
            left = left[np.hypot(ours[left, 0] - at[0], ours[left, 1] - at[1]) > apart_m]


def _around(ours: Floats, theirs: Floats, near_m: float) -> Floats:
    """Those of `theirs` (n, 2) that any of `ours` can be near to."""
    low, high = ours.min(axis=0) - near_m, ours.max(axis=0) + near_m
    close: Floats = theirs[((theirs >= low) & (theirs <= high)).all(axis=1)]
    return close


def _held(points: Floats, way_in: bool, way_out: bool) -> Floats:
    """Places (n, 2) of a leg where a rider can no longer turn away: between fences all of them,
    of the way in and out those in line with the fence and near it."""
    if not (way_in or way_out) or len(points) < 2:
        return points
    out = points[::-1] if way_in else points
    ahead = out[1] - out[0]
    # Places are evenly apart, but not by the same in every leg.
    near = out[: int(BESIDE.value / np.hypot(*ahead)) + 1]
    dx, dy = (near - near[0]).T
    aside = np.abs(dx * ahead[1] - dy * ahead[0]) / np.hypot(*ahead)
    bent = np.flatnonzero(aside > ASIDE.value)
    return near[: bent[0]] if len(bent) else near


RULE = Rule(NAME, _check)
