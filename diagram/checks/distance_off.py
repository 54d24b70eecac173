"""distance-off: a line or bend whose track does not ride as the strides it says.

A caution when the distance is outside the range for its strides; a stop inside a combination,
where there is no room to mend it.
"""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.checks.trotted_into_at_canter_length import left_long
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan, PlanLeg
from diagram.ride import Version
from diagram.units import feet_inches, length_text

NAME = "distance-off"
AS_SAID_SOURCE = "common practice (no source)"
AS_SAID_M = 0.05
"""Metres: what the crew can hold with a tape (common practice, no source)."""


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        asked = leg.asked
        if leg.shape not in ("line", "bend"):
            continue
        if leg.link.way is not None and leg.link.way.length is not None:
            yield from _not_as_long_as_said(plan, leg, leg.link.way.length)
        if asked is None:
            continue
        off = max(asked.low_m - leg.track_m, leg.track_m - asked.high_m)
        if off <= 0.005 or left_long(plan, leg):
            continue
        longer = leg.track_m > asked.high_m
        limit = asked.high_m if longer else asked.low_m
        message = (
            f"{length_text(leg.track_m, 'both')} is "
            f"{feet_inches(off)} too {'long' if longer else 'short'} for "
            f"{_count(leg.strides) if leg.strides else 'a bounce'}"
        )
        rides = f"it rides as {leg.rides.words}; " if leg.rides else ""
        needs = leg.ridden.needs
        if needs is not None and needs.stride_m > 0:
            rides += f"{_strides(needs)} would be {needs.share:.0%} of normal; "
        hint = f"{rides}aim at {length_text(asked.aim_m, 'both')}"
        severity = Severity.STOP if leg.link.inner else Severity.CAUTION
        yield found(
            plan, NAME, severity, message, leg.path, hint,
            figure=leg.track_m, limit=limit, source=asked.range_source, at=on_leg(leg),
        )  # fmt: skip


def _strides(needs: Version) -> str:
    """``6 strides of 10'``: what the count said takes on this ground."""
    return f"{_count(needs.strides)} of {feet_inches(needs.stride_m)}"


def _count(strides: int) -> str:
    return f"{strides} stride{'s' * (strides > 1)}"


def _not_as_long_as_said(plan: Plan, leg: PlanLeg, said: float) -> Iterable[Diagnostic]:
    """A length written in the file that is not the length on the ground."""
    off = leg.track_m - said
    if abs(off) <= AS_SAID_M:
        return
    message = (
        f"this is said to be {length_text(said, 'both')} and measures "
        f"{length_text(leg.track_m, 'both')}"
    )
    hint = "move a fence, or write the length that it has"
    yield found(
        plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=leg.track_m, limit=said,
        source=AS_SAID_SOURCE, at=on_leg(leg),
    )  # fmt: skip


RULE = Rule(NAME, _check)
