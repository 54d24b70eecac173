"""What a card says about one leg of the ride, as plain texts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from diagram.drawing.words import gait_words, stride_words
from diagram.layout.course import Lesson
from diagram.layout.terms import aim
from diagram.model.said import CircleSaid
from diagram.planning import COUNTED_M, Plan, PlanLeg
from diagram.units import FOOT, Units, feet_inches, length_text, metres_text, steps_text

TAPED = ("line", "bend")
"""Legs that are built to a distance. The length of a turn is only what comes of it."""


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
        number=str(jump.number) if jump else "",
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
        taught=(*_tape(leg), *_other_ways(leg), *_taught(lesson)),
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
