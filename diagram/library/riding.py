"""The ride in words, one text for each phase, as a rider would say it to learn it.

What is to stand out is between two pairs of stars: ``canter left, **1 alder** — 4 — **2 heart**``.
"""

from __future__ import annotations

from diagram.exercise.course import called
from diagram.planning import Plan, PlanLeg


def ride_texts(plan: Plan) -> tuple[tuple[int, str, str], ...]:
    """For each phase its number, its name (empty where it has none) and its ride."""
    phases = sorted({leg.link.phase for leg in plan.legs})
    return tuple((n, _name(plan, n), _phase(plan, n)) for n in phases)


def _name(plan: Plan, phase: int) -> str:
    names = plan.exercise.course.phases
    return names[phase] if phase < len(names) else ""


def _phase(plan: Plan, phase: int) -> str:
    out = ""
    for leg in plan.legs:
        if leg.link.phase != phase or leg.link.inner:
            continue
        for part in (_way(leg, plan), _jumped(leg, plan) if leg.second else ""):
            dash = part.startswith("—") or out.endswith("—")
            out += (" " if dash else ", ") + part if out and part else part
    return out


def _way(leg: PlanLeg, plan: Plan) -> str:
    course = plan.exercise.course
    circles = [f"circle {_hand(circle.left)}" for circle in leg.link.circles]
    way = leg.link.way
    turned = [f"turn {_hand(bool(way.left))}"] if way and way.left is not None else []
    if leg.first is None:
        start = course.start
        begin = f"{start.gait} {start.lead}" if start.lead else start.gait
        return ", ".join([begin, *turned, *circles])
    if leg.second is None:
        on = [] if turned or circles else ["straight on"]
        gait = [course.finish.gait] if course.finish.gait else []
        return ", ".join([*turned, *circles, *on, *gait])
    if leg.shape in ("turn", "rollback") and way:
        word = "roll back" if leg.shape == "rollback" else "turn"
        about = [f"about {leg.ridden.strides}"] if leg.ridden.strides else []
        change = [f"{way.change} change"] if way.change else []
        return ", ".join([f"{word} {_hand(bool(way.left))}", *about, *change, *circles])
    return _counted(leg)


def _counted(leg: PlanLeg) -> str:
    ridden, way = leg.ridden, leg.link.way
    inside = ""
    if ridden.in_and_out and way and way.transition:
        said = way.transition
        much = f" {said.steps}" if said.steps else ""
        canter = ridden.in_and_out
        inside = f"{canter.canter_in.strides}, {said.gait}{much}, {canter.canter_out.strides}"
    elif leg.strides is not None:
        counts = [str(leg.strides), *(str(other.strides) for other in leg.others)]
        inside = " or ".join(counts) if leg.strides else "bounce"
    if leg.shape == "bend" and way:
        inside = f"{inside} bending {_hand(bool(way.left))}".strip()
    if way and way.change:
        inside += f", {way.change} change"
    return f"— {inside} —" if inside else "—"


def _jumped(leg: PlanLeg, plan: Plan) -> str:
    assert leg.second is not None
    jump = leg.second.jump
    inner = []
    for after in plan.legs[leg.number + 1 :]:
        if not after.link.inner:
            break
        inner.append(after)
    numbers = called(end.jump for end in (leg.second, *(one.second for one in inner)) if end)
    out = f"**{numbers} {jump.whole or jump.fence}**".replace("** ", "**")
    counts = [
        "bounce" if one.strides == 0 else str(one.strides)
        for one in inner
        if one.strides is not None
    ]
    if counts:
        out += f" in {', '.join(counts)}"
    if jump.angle:
        out += " on the angle"
    land = ((inner[-1] if inner else leg).second or leg.second).jump.land
    return f"{out}, land {land}" if land else out


def _hand(left: bool) -> str:
    return "left" if left else "right"
