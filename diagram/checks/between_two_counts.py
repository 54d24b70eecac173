"""between-two-counts: a measured distance that rides as neither one stride count nor the next."""

from collections.abc import Iterable

from diagram.checks.rule import Rule, found, on_leg
from diagram.diagnostics import Diagnostic, Severity
from diagram.planning import Plan
from diagram.units import length_text

NAME = "between-two-counts"


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        # Where strides are said, that the distance is not theirs is for distance-off to say.
        if leg.rides is None or leg.rides.fits or leg.asked is not None or leg.second is None:
            continue
        if leg.shape not in ("line", "bend") or leg.first is None:
            continue
        nearer = leg.resolved.distance(leg.rides.strides)
        longer = leg.track_m > nearer.aim_m
        limit = nearer.high_m if longer else nearer.low_m
        message = f"{length_text(leg.track_m, 'both')} rides as {leg.rides.words}"
        hint = f"make it {length_text(nearer.aim_m, 'both')}"
        yield found(
            plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=leg.track_m, limit=limit,
            source=nearer.range_source, at=on_leg(leg),
        )  # fmt: skip


RULE = Rule(NAME, _check)
