"""distance-off: a line or bend whose track does not ride as the strides it says.

Judged by all that is published for such a distance: a little outside it is a note, more a
caution; a stop where there is no room to mend it, or where it is far off. Over big fences a line
is held to what its own strides ask for. Round a circle it is the arc that is ridden, at the step
that horses take there, and what is told is how large the circle should be.
"""

from collections.abc import Iterable

from diagram.checks.rule import LAST_DIGIT, Rule, found, on_leg, say, say_off
from diagram.checks.trotted_into_at_canter_length import left_long
from diagram.diagnostics import Diagnostic, Severity
from diagram.judging.circles import Arc, across_text, arc_of, size_text
from diagram.judging.distances import highest_m, misses_by
from diagram.planning import Plan, PlanLeg
from diagram.ride import Version
from diagram.trade.distances import Distance
from diagram.trade.limits import Limit

NAME = "distance-off"
SLACK = Limit(NAME, "slack")
AS_SAID = Limit(NAME, "as said")
UNUSUAL = Limit(NAME, "unusual")
STOP_IN_A_COMBINATION = Limit(NAME, "stop in a combination")
LONG_OVER_LOW = Limit(NAME, "too long over low fences")
STOP_ON_A_LINE = Limit(NAME, "stop on a line")
LOW_FENCES = Limit(NAME, "low fences to")
OFF_OVER_LOW = Limit(NAME, "unusual over low fences")
BIG_FENCES = Limit(NAME, "big fences from")
OVER_BIG_FENCES = Limit(NAME, "off over big fences")
SHORT = 2
"""Strides. Up to here there is no room to mend a distance."""


def _check(plan: Plan) -> Iterable[Diagnostic]:
    for leg in plan.legs:
        # With a circle on the way the track is no distance.
        if leg.shape not in ("line", "bend") or leg.link.circles:
            continue
        if leg.link.way is not None and leg.link.way.length is not None:
            yield from _not_as_long_as_said(plan, leg, leg.link.way.length)
        in_two_counts = leg.shape == "line" and (leg.others or leg.resolved.elsewhere)
        if leg.asked is None or in_two_counts or left_long(plan, leg):
            continue
        yield from sorted(_told(plan, leg, leg.asked), key=lambda one: one.severity.rank)[:1]


def _told(plan: Plan, leg: PlanLeg, asked: Distance) -> Iterable[Diagnostic]:
    """What is wrong with the distance by all that is published, and over big fences."""
    off = misses_by(plan, leg, asked)
    if abs(off) > SLACK.value:
        limit, source = asked.limit(off > 0)
        known = _known(plan, leg, asked, off)
        yield _off(plan, leg, asked, off, _severity(leg, off), limit, source, known)
    yield from _over_big_fences(plan, leg, asked)


def _severity(leg: PlanLeg, off: float) -> Severity:
    """How grave it is to be `off` metres outside all that is published."""
    strides = leg.strides or 0
    short = leg.link.inner or strides <= SHORT
    low = highest_m(leg) <= LOW_FENCES.value + SLACK.value
    forgiven = OFF_OVER_LOW.value if low and not short else 0.0
    far = abs(off) - LAST_DIGIT
    if far <= max(UNUSUAL.value * (strides + 1), forgiven):
        return Severity.NOTE
    stop = STOP_IN_A_COMBINATION if short else STOP_ON_A_LINE
    if short and low and off > 0:
        stop = LONG_OVER_LOW
    return Severity.STOP if far > stop.value else Severity.CAUTION


def _over_big_fences(plan: Plan, leg: PlanLeg, asked: Distance) -> Iterable[Diagnostic]:
    if asked.strides <= SHORT or highest_m(leg) < BIG_FENCES.value - SLACK.value:
        return
    off = leg.track_m - asked.aim_m
    for word, severity in (("stop", Severity.STOP), ("caution", Severity.CAUTION)):
        most = OVER_BIG_FENCES.of(word)
        if abs(off) >= most.value - SLACK.value:
            limit = asked.aim_m + (most.value if off > 0 else -most.value)
            yield _off(plan, leg, asked, off, severity, limit, most.source)
            return


def _off(
    plan: Plan, leg: PlanLeg, asked: Distance, off: float, severity: Severity, limit: float,
    source: str, known: str = "",
) -> Diagnostic:  # fmt: skip
    message = (
        f"{say(plan, leg.track_m)} is "
        f"{say_off(plan, off)} too {'long' if off > 0 else 'short'} for "
        f"{_count(leg.strides) if leg.strides else 'a bounce'}"
    )
    arc = arc_of(leg.resolved)
    if arc is not None:
        message += f" on a circle of {across_text(plan, arc, leg.track_m)}"
    rides = f"it rides as {leg.rides.words}; " if leg.rides and not leg.rides.fits else ""
    needs = leg.ridden.needs
    if needs is not None and needs.stride_m > 0:
        rides += f"{_strides(plan, needs)} would be {needs.share:.0%} of normal; "
    hint = f"{rides}{known}aim at {say(plan, asked.aim_m)}"
    if arc is not None:
        hint = _of_the_circle(plan, leg, arc, asked)
    return found(
        plan, NAME, severity, message, leg.path, hint, figure=leg.track_m, limit=limit,
        source=source, at=on_leg(leg),
    )  # fmt: skip


def _known(plan: Plan, leg: PlanLeg, asked: Distance, off: float) -> str:
    """The longest, or the shortest, that is known to be set: what the line is off by."""
    known = say(plan, leg.track_m - off)
    word = "longest" if off > 0 else "shortest"
    return "" if known == say(plan, asked.aim_m) else f"the {word} known is {known}; "


def _of_the_circle(plan: Plan, leg: PlanLeg, arc: Arc, asked: Distance) -> str:
    """The step that the strides would take, the size that they want, and what rides as it is."""
    steps = asked.strides + 1
    step, low, high = (say(plan, m / steps) for m in (leg.track_m, asked.low_m, asked.high_m))
    size = size_text(plan, arc, asked.strides)
    hint = f"each would be {step}, and on a circle they are {low} to {high}; "
    if step in (low, high):
        hint = ""
    hint += f"make the circle {size}, where {_count(asked.strides)} are right"
    other = leg.rides.strides if leg.rides else asked.strides
    if other != asked.strides and other:
        off = leg.resolved.distance(other).misses_by(leg.track_m)
        hint += f", or write {_count(other)}" if abs(off) <= SLACK.value else ""
    return hint


def _strides(plan: Plan, needs: Version) -> str:
    """``6 strides of 10'``: what the count said takes on this ground."""
    return f"{_count(needs.strides)} of {say(plan, needs.stride_m)}"


def _count(strides: int) -> str:
    return f"{strides} stride{'s' * (strides > 1)}"


def _not_as_long_as_said(plan: Plan, leg: PlanLeg, said: float) -> Iterable[Diagnostic]:
    """A length written in the file that is not the length on the ground."""
    off = leg.track_m - said
    if abs(off) <= AS_SAID.value + LAST_DIGIT:
        return
    message = f"this is said to be {say(plan, said)} and measures {say(plan, leg.track_m)}"
    hint = "move a fence, or write the length that it has"
    yield found(
        plan, NAME, Severity.CAUTION, message, leg.path, hint, figure=leg.track_m, limit=said,
        source=AS_SAID.source, at=on_leg(leg),
    )  # fmt: skip


RULE = Rule(NAME, _check, ("bands/rows", "settings/pony one stride"))
