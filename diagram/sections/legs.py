"""What a card says about one leg of the ride, as plain texts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from diagram.drawing.words import gait_words, stride_words
from diagram.exercise.course import Lesson
from diagram.exercise.terms import aim
from diagram.model.said import CircleSaid
from diagram.planning import COUNTED_M, Plan, PlanLeg
from diagram.ride import Angled, InAndOut, Side, Version
from diagram.stakeout.lines import TAPED
from diagram.trade.words import count_word
from diagram.units import FOOT, Units, feet_inches, length_text, metres_text, steps_text


@dataclass(frozen=True, slots=True)
class LegTexts:
    """One leg in words. `off` says that it does not ride as the strides that are asked for;
    `taught` is what the trainer says of it, each text with what it is.
    """

    number: str
    ends: str
    manner: str
    how: str
    strides: str
    feet: str
    metres: str
    steps: str
    rides: str
    asked: str
    off: bool
    gait: str
    seconds: str
    taught: tuple[tuple[str, str], ...]


def leg_texts(leg: PlanLeg, plan: Plan, units: Units) -> LegTexts:
    """All texts about `leg`. Lengths that stand in both units are rounded in each by itself."""
    jump = leg.second.jump if leg.second else None
    start = leg.first.jump.fence if leg.first else "start"
    taped = leg.shape in TAPED
    lesson = leg.link.lesson.with_(jump.lesson) if jump else leg.link.lesson
    off = leg.rides is not None and (
        not leg.rides.fits or (leg.strides is not None and leg.strides != leg.rides.strides)
    )
    return LegTexts(
        number=jump.label if jump else "",
        ends=f"{start} → {jump.fence if jump else 'finish'}",
        manner=_manner(leg),
        how=_how(leg, plan),
        strides=_strides(leg),
        feet=feet_inches(leg.track_m) if taped else f"{leg.track_m / FOOT:.0f}'",
        metres=metres_text(leg.track_m, 2 if taped else 0),
        steps=steps_text(leg.track_m) if taped and leg.track_m <= COUNTED_M else "",
        rides=leg.rides.words if leg.rides else "",
        asked=_asked(leg, units),
        off=off,
        gait=_gait(leg),
        seconds=f"{leg.seconds:.0f} s" if leg.seconds >= 9.95 else f"{leg.seconds:.1f} s",
        taught=(*_tape(leg), *_ridden(leg, units), *_other_ways(leg), *_taught(lesson)),
    )


def _manner(leg: PlanLeg) -> str:
    """How its last fence is jumped: ``from behind, angled left 15°, land right``."""
    if leg.second is None:
        return ""
    jump = leg.second.jump
    parts = ["from behind"] if jump.from_behind else []
    if jump.angle:
        side = "left" if jump.angle > 0 else "right"
        parts.append(f"angled {side} {abs(math.degrees(jump.angle)):.3g}°")
    if jump.land:
        parts.append(f"land {jump.land}")
    return ", ".join(parts)


def _how(leg: PlanLeg, plan: Plan) -> str:
    """``straight line``, ``bend left``, ``turn right, circle right 20 m, flying change``."""
    way = leg.link.way
    parts = []
    if way is None or way.left is None:
        parts.append("straight line" if leg.shape in TAPED else "")
    else:
        word = "rollback" if way.tight else way.shape
        parts.append(f"{word} {'left' if way.left else 'right'}")
    # The circle of the finish is said in the finish itself, and is among the leg's own.
    parts += [_circle(circle) for circle in leg.link.circles]
    if way and way.change:
        parts.append(f"{way.change} change")
    if way and way.counter:
        parts.append("counter-canter")
    if leg.second is None and plan.course.finish.gait:
        parts.append(f"to {plan.course.finish.gait}")
    return ", ".join(part for part in parts if part) or "straight on"


def _circle(circle: CircleSaid) -> str:
    size = f" {circle.diameter:g} m" if circle.diameter else ""
    return f"circle {'left' if circle.left else 'right'}{size}"


def _strides(leg: PlanLeg) -> str:
    words = stride_words(leg)
    if leg.shape in ("turn", "rollback") and leg.second is not None:
        return f"about {leg.ridden.strides}" if leg.ridden.strides else ""
    pace = leg.link.way.pace if leg.link.way else "normal"
    return f"{words}, {pace}" if words and pace != "normal" else words


def _asked(leg: PlanLeg, units: Units) -> str:
    """What the strides ask for: ``aim 72', good from 69' to 75'``."""
    if leg.asked is None or leg.link.way is None:
        return ""
    found = leg.asked
    one: Units = "metres" if units == "metres" else "feet"
    low, high = length_text(found.low_m, one).removesuffix(" m"), length_text(found.high_m, one)
    return f"aim {length_text(aim(found, leg.link.way.pace), one)}, good from {low} to {high}"


def _gait(leg: PlanLeg) -> str:
    """Gaits in order, and the lead: ``canter left, walk 5 steps, canter right``."""
    ridden = leg.ridden
    last = len(ridden.stretches) - 1
    parts = []
    for n, stretch in enumerate(ridden.stretches):
        words = gait_words(leg, stretch) if n else stretch.gait
        lead = ridden.lead if n == 0 else ridden.lead_in
        with_lead = stretch.gait == "canter" and lead and n in (0, last)
        parts.append(f"{words} {lead}" if with_lead else words)
    if not last and ridden.lead_in and ridden.lead_in != ridden.lead:
        parts.append(f"then {ridden.lead_in}")
    return ", ".join(parts)


def _tape(leg: PlanLeg) -> tuple[tuple[str, str], ...]:
    """Beside the track of a bend, what a tape pulled straight will say."""
    if leg.shape != "bend":
        return ()
    straight = f"{feet_inches(leg.straight_m)} = {metres_text(leg.straight_m)}"
    return (("By tape", f"{straight} straight from base to base"),)


def _ridden(leg: PlanLeg, units: Units) -> Iterator[tuple[str, str]]:
    """What the ride knows of the leg: its strides, its transition, its change, its angle."""
    one: Units = "metres" if units == "metres" else "feet"
    ridden = leg.ridden
    if ridden.needs and leg.strides:
        yield "On the ground", _on_the_ground(leg, ridden.needs, one)
    # A count that has a line of its own is told of with that line.
    drawn = {other.strides for other in leg.others}
    others = [_version(v, one) for v in ridden.others if v.possible and v.strides not in drawn]
    if others and leg.strides:
        yield "Or", ", ".join(others)
    if ridden.in_and_out:
        yield from _in_and_out(leg, ridden.in_and_out, one)
    for change in ridden.changes:
        if change.kind:
            before = "before the turn" if change.before_turn else "before the take-off"
            yield "Change", f"to the {change.to} lead, {change.strides:.1f} strides for it {before}"
    if leg.angled:
        yield "Angle", _angled(leg, leg.angled, one)


def _on_the_ground(leg: PlanLeg, needs: Version, units: Units) -> str:
    """``land 6' out, 5 strides of 12' (as normal), take off 6' before``."""
    ground = leg.ridden.ground
    share = ""
    if leg.link.gait == "canter":
        # Out of a trot the first strides are short, and no share of anything.
        share = f" ({needs.manner})"
        if needs.manner != "as normal":
            share = f" ({needs.share:.0%} of normal, {needs.manner})"
    return (
        f"land {length_text(ground.landing_m, units)} out, {needs.strides} "
        f"stride{'s' * (needs.strides > 1)} of {length_text(needs.stride_m, units)}{share}, "
        f"take off {length_text(ground.take_off_m, units)} before"
    )


def _version(version: Version, units: Units) -> str:
    count = count_word(version.strides)
    return (
        f"{version.manner} {count} of {length_text(version.stride_m, units)} ({version.share:.0%})"
    )


def _in_and_out(leg: PlanLeg, crossed: InAndOut, units: Units) -> Iterator[tuple[str, str]]:
    """The canter in and the canter out, and where the cones stand."""
    yield "Canter in", _side(crossed.canter_in, units)
    yield "Canter out", f"{_side(crossed.canter_out, units)}; {crossed.difference(units)}"
    begin, end = length_text(crossed.begin_m, units), length_text(crossed.end_m, units)
    first = leg.first.jump.fence if leg.first else "the start"
    if crossed.gait == "halt":
        where = f"at {begin} from {first}"
    else:
        where = f"at {begin} and {end} from {first}"
    yield "Cones", f"{where}; ask by {length_text(crossed.ask_m, units)}"
    for missing, place in (
        (crossed.short_before_m, "before"),
        (crossed.short_after_m, "after"),
    ):
        if missing > 0.01:
            yield "Missing", f"{length_text(missing, units)} {place} the {crossed.gait}"


def _side(side: Side, units: Units) -> str:
    return (
        f"{side.strides} stride{'s' * (side.strides != 1)} of "
        f"{length_text(side.stride_m, units)}, {length_text(side.length_m, units)} in all, "
        f"{side.seconds:.1f} s at {side.speed * 60:.0f} m/min"
    )


def _angled(leg: PlanLeg, found: Angled, units: Units) -> str:
    """The front to aim at, the spread as ridden, the open side, and what drifting does."""
    parts = [f"{length_text(found.front_m, units)} of front to aim at"]
    if leg.second and leg.second.fence.fence.depth_m:
        built = length_text(leg.second.fence.fence.depth_m, units)
        parts.append(f"the spread of {built} rides as {length_text(found.spread_m, units)}")
        if found.line_shorter_m >= A_CENTIMETRE:
            parts.append(f"each line beside it {length_text(found.line_shorter_m, units)} shorter")
    parts.append(f"the run-out is to the {found.run_out}")
    aside, unit = (FOOT, "foot") if units == "feet" else (1.0, "metre")
    off = abs(found.later_on_the_left) * aside
    parts.append(f"a {unit} towards it meets the fence {length_text(off, units)} later")
    return ", ".join(parts)


A_CENTIMETRE = 0.01


def clock_text(plan: Plan) -> str:
    """The time allowed, and what the efforts come to."""
    clock, work = plan.totals.clock, plan.totals.work
    text = ""
    if clock.track_m is not None:
        text = (
            f"Time allowed at {clock.speed * 60:.0f} m/min over {clock.track_m:.0f} m from start "
            f"line to finish line: {clock.time_allowed} s, time limit {clock.time_limit} s. "
        )
    usual = "" if work.rounds_said else " (the usual number, none is said)"
    text += (
        f"{work.rounds} round{'s' * (work.rounds != 1)}{usual} make "
        f"{work.per_horse} efforts for a horse"
    )
    if work.per_lesson is not None:
        text += f" and {work.per_lesson} for {work.riders} riders"
    return text + "."


def _other_ways(leg: PlanLeg) -> tuple[tuple[str, str], ...]:
    """What the same bend is in other strides: length, radius, angle, how it rides."""
    out = []
    for other in leg.others:
        curve = other.way.curve
        angle = math.degrees(other.way.angle)
        cut = f", both fences jumped {angle:.0f}° off straight" if angle > 0.5 else ""
        text = (
            f"{length_text(curve.length, 'both')} on the track, radius {curve.min_radius:.1f} m"
            f"{cut}; rides as {other.rides.words}"
        )
        out.append((f"Or in {other.strides}", text))
    return tuple(out)


def _taught(lesson: Lesson) -> tuple[tuple[str, str], ...]:
    said = [("Purpose", lesson.purpose)] if lesson.purpose else []
    said += [("Watch", text) for text in lesson.watch]
    if lesson.passed_when:
        said.append(("Passed when", lesson.passed_when))
    return tuple(said)
