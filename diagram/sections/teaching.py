"""What an instructor is told of each element: the way there and the jump apart, as plain texts."""

from __future__ import annotations

import itertools

from msgspec import Struct

from diagram.drawing.beads import changes_over
from diagram.drawing.counts import stride_words
from diagram.drawing.flags import gait_words
from diagram.drawing.parts import parts_of
from diagram.drawing.ride_words import away_words, inner_words
from diagram.exercise.course import ElementLesson, called
from diagram.plain import counted
from diagram.planning import Plan, PlanLeg
from diagram.units import Units, length_text


class TaughtPart(Struct, frozen=True):
    """One thing taught: what it is in one word, and what is said of it."""

    name: str
    lesson: ElementLesson


class TaughtElement(Struct, frozen=True):
    """A jump with the way to it, or the way out at the end (no figure).

    `phase` counts from 0; `how` is what is ridden, in words.
    """

    figure: str
    phase: int
    heading: str
    how: str
    parts: tuple[TaughtPart, ...]


def elements_of(plan: Plan, units: Units) -> tuple[TaughtElement, ...]:
    """All elements in the order ridden; a combination is one."""
    parts = parts_of(plan)
    out = []
    ends = plan.course.finish.gaits
    for leg in plan.legs:
        if leg.link.inner:
            continue
        inner = tuple(itertools.takewhile(lambda one: one.link.inner, plan.legs[leg.number + 1 :]))
        if leg.second is None:
            # Straight on and walk needs no words; a circle or a halt at the end is ridden.
            if leg.link.lesson != ElementLesson() or leg.link.circles or "halt" in ends:
                out.append(_finish(leg, plan, parts.of(leg)))
            continue
        out.append(_element(leg, inner, plan, parts.of(leg), units))
    return tuple(out)


def _element(
    leg: PlanLeg, inner: tuple[PlanLeg, ...], plan: Plan, phase: int, units: Units
) -> TaughtElement:
    assert leg.second is not None
    jump = leg.second.jump
    figure = called(end.jump for end in (leg.second, *(one.second for one in inner)) if end)
    start = (leg.first.jump.whole or leg.first.jump.fence) if leg.first else "start"
    heading = f"{start} to {jump.whole or jump.fence}"
    taught = [TaughtPart(way_word(leg), leg.link.lesson), TaughtPart("jump", jump.lesson)]
    for one in inner:
        if one.second:
            # By what the drawing calls it; a placing pole has no number.
            taught.append(TaughtPart(one.second.jump.label or "pole", one.second.jump.lesson))
    said = tuple(part for part in taught if part.lesson != ElementLesson())
    return TaughtElement(figure, phase, heading, _how(leg, inner, plan, units), said)


def _finish(leg: PlanLeg, plan: Plan, phase: int) -> TaughtElement:
    last = leg.first.jump if leg.first else None
    heading = f"{(last.whole or last.fence) if last else 'start'} to finish"
    finish = plan.course.finish
    circles = [f"circle {'left' if circle.left else 'right'}" for circle in leg.link.circles]
    how = ", ".join([*(circles or [away_words(leg)]), *finish.gaits])
    return TaughtElement("", phase, heading, how, (TaughtPart("finish", leg.link.lesson),))


def way_word(leg: PlanLeg) -> str:
    """The way to a jump in one word: line, bend, turn, circle, start."""
    if leg.first is None:
        return "start"
    if leg.link.circles:
        return "circle"
    return "turn" if leg.shape == "rollback" else leg.shape


def _how(leg: PlanLeg, inner: tuple[PlanLeg, ...], plan: Plan, units: Units) -> str:
    """``5 strides, bend left, left lead, land right, jumped the other way``."""
    assert leg.second is not None
    jump = leg.second.jump
    said = [_way(leg, plan, units)]
    if jump.angle:
        said.append("on the angle")
    if leg.ridden.lead_in and leg.lead_told:
        said.append(f"{leg.ridden.lead_in} lead")
    if inner:
        said.append(_inside(inner, units))
    last = inner[-1] if inner else leg
    land = landing(last, plan)
    if land:
        said.append(f"land {land}")
    if jump.from_behind:
        said.append("jumped the other way")
    return ", ".join(text for text in said if text)


def _inside(inner: tuple[PlanLeg, ...], units: Units) -> str:
    """``in 1, 2 strides (24', 35')``, ``4'6" apart``: what is between the parts of one jump."""
    lengths = [length_text(leg.track_m, units) for leg in inner]
    words = inner_words(inner)
    if len(set(lengths)) == 1:
        return f"{words} at {lengths[0]}" if words else f"{lengths[0]} apart"
    return f"{words} ({', '.join(lengths)})".strip()


def landing(leg: PlanLeg, plan: Plan) -> str:
    """The lead to land on after the fence at the end of a leg, where that is asked or changes."""
    after = plan.legs[leg.number + 1] if leg.number + 1 < len(plan.legs) else None
    if leg.second and leg.second.jump.land:
        return leg.second.jump.land
    return after.lead or "" if after and changes_over(leg, after) else ""


def _way(leg: PlanLeg, plan: Plan, units: Units) -> str:
    way = leg.link.way
    hand = "" if way is None or way.left is None else "left" if way.left else "right"
    circles = [
        f"circle {'left' if circle.left else 'right'}"
        + (f" {circle.diameter:g} m" if circle.diameter else "")
        for circle in leg.link.circles
    ]
    if leg.first is None:
        turn = [f"turn {hand}"] if hand else []
        return ", ".join([plan.course.start.gait, *turn, *circles])
    if leg.shape in ("turn", "rollback"):
        word = f"roll back {hand}" if leg.shape == "rollback" else f"turn {hand}"
        about = [f"about {counted(leg.about, 'stride')}"] if leg.about else []
        change = [f"{way.change} change"] if way and way.change else []
        change += ["counter-canter"] if way and way.counter else []
        return ", ".join([word, *about, *change, *circles])
    return ", ".join([*_counted(leg, hand, units), *circles])


def _counted(leg: PlanLeg, hand: str, units: Units) -> list[str]:
    ridden, way = leg.ridden, leg.link.way
    if ridden.in_and_out:
        middle = gait_words(leg, ridden.stretches[1])
        inside = ridden.in_and_out
        said = [f"{inside.canter_in.strides}, {middle}, {inside.canter_out.strides}"]
    else:
        words = stride_words(leg)
        said = [words or length_text(leg.track_m, units)]
    if stride_words(leg):
        # Each count has its own line: said with one length they would be read as both in it.
        said[0] += f" in {length_text(leg.track_m, units)}"
        said[0] += "".join(
            f", or {other.strides} in {length_text(other.way.curve.length, units)}"
            for other in leg.others
        )
    if way and way.pace != "normal":
        said.append(way.pace)
    if leg.shape == "bend":
        said.append(f"bend {hand}")
    if way and way.change:
        said.append(f"{way.change} change")
    return said
