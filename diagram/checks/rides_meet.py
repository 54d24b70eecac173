"""rides-meet: two rides over the same fences that go at once come to one spot.

From the first fence to the last: on the way in and out everybody keeps clear of everybody.
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
APART = Limit(NAME, "from spot to spot")


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for other in plan.beside:
        theirs = np.array([point for leg in other.legs[1:-1] for point in leg])
        spots = list(_spots(plan, theirs, NEAR.value)) if len(theirs) else []
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
    for leg in plan.legs[1:-1]:
        ours = np.array(curve_points(leg.curve))
        gaps = np.linalg.norm(ours[:, None] - theirs[None], axis=2).min(axis=1)
        for n in np.argsort(gaps, kind="stable"):
            if gaps[n] > near_m:
                break
            at = (float(ours[n][0]), float(ours[n][1]))
            if all(np.hypot(at[0] - x, at[1] - y) > APART.value for x, y in told):
                told.append(at)
                yield float(gaps[n]), at, leg.number


RULE = Rule(NAME, _check)
