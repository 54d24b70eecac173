"""What the page of one exercise says, as plain values: what templates fill in and caches keep."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from diagram.drawing.parts import parts_of
from diagram.exercise.course import ElementLesson, called
from diagram.exercise.equipment import equipment_of, in_all
from diagram.library.riding import ride_texts
from diagram.plain import counted
from diagram.planning import Plan, PlanLeg
from diagram.sections.care import care_texts
from diagram.units import Units, length_text

Values = dict[str, Any]


def page_values(rides: Sequence[Plan], units: Units) -> Values:
    """All texts of the page: each ride with its elements, advice, care, what to carry."""
    plan, *_ = rides
    said = plan.definition
    return {
        "rides": [ride_values(ride, units) for ride in rides],
        "care": list(dict.fromkeys(text for ride in rides for text in care_texts(ride))),
        "wrong": list(said.if_it_goes_wrong),
        "warm_up": list(said.warm_up),
        "easier": [*said.easier, *_fewer(plan)],
        "harder": list(said.harder),
        "leads_to": list(said.leads_to),
        "build": in_all(equipment_of(placed.fence) for placed in plan.fences).words(units),
        "arena": plan.arena.name,
        "horses": " / ".join(dict.fromkeys(_horses(ride, units) for ride in rides)),
    }


def ride_values(plan: Plan, units: Units) -> Values:
    """What the page says of one ride; its name is empty where there is only one."""
    return {
        "name": plan.name,
        "ride": [
            {"phase": n, "name": name, "spans": spans(text)} for n, name, text in ride_texts(plan)
        ],
        "elements": _elements(plan, units),
        "picture": _picture(plan),
    }


def spans(text: str) -> list[tuple[bool, str]]:
    """A text in pieces, each with whether it stands out (was between two pairs of stars)."""
    pieces = re.split(r"\*\*(.+?)\*\*", text)
    return [(n % 2 == 1, piece) for n, piece in enumerate(pieces) if piece]


def _elements(plan: Plan, units: Units) -> list[Values]:
    """A block for each way to a fence, a combination in one, under the name of its phase."""
    out: list[Values] = []
    phase, row, parts = -1, list[PlanLeg](), parts_of(plan)
    for leg in plan.legs:
        if leg.link.inner:
            row.append(leg)
            out[-1]["number"] = _number(row)
            out[-1]["parts"] += _parts(leg)
            continue
        begins, row = parts.of(leg) != phase, [leg]
        phase = parts.of(leg)
        names = parts.names
        out.append({
            "phase": phase,
            "phase_name": names[phase] if begins and phase < len(names) else "",
            "number": _number(row),
            "heading": f"{_from(leg)} to {_to(leg)}",
            "how": _how(leg, plan, units),
            "parts": _parts(leg),
        })  # fmt: skip
    return [element for element in out if element["number"] or element["parts"]]


def _number(row: Sequence[PlanLeg]) -> str:
    return called(leg.second.jump for leg in row if leg.second)


def _from(leg: PlanLeg) -> str:
    return (leg.first.jump.whole or leg.first.jump.fence) if leg.first else "start"


def _to(leg: PlanLeg) -> str:
    return (leg.second.jump.whole or leg.second.jump.fence) if leg.second else "finish"


def _how(leg: PlanLeg, plan: Plan, units: Units) -> str:
    """``4 strides, 48', left lead``, ``turn left, about 13 strides, right lead``."""
    parts: list[str] = []
    way, start = leg.link.way, plan.exercise.course.start
    if leg.first is None:
        parts.append(start.gait)
    elif leg.shape in ("turn", "rollback", "bend") and way and way.left is not None:
        parts.append(f"{leg.shape} {'left' if way.left else 'right'}")
    if leg.strides is not None:
        parts.append(counted(leg.strides, "stride") if leg.strides else "bounce")
        parts += [f"or {other.strides}" for other in leg.others]
    elif leg.about and leg.second and leg.first:
        parts.append(f"about {counted(leg.about, 'stride')}")
    if leg.first and leg.second and leg.shape in ("line", "bend"):
        parts.append(length_text(leg.track_m, units))
    if leg.lead_told and leg.ridden.stretches[0].gait == "canter":
        parts.append(f"{leg.lead_told} lead")
    if leg.second and leg.second.jump.from_behind:
        parts.append("jumped the other way")
    if leg.second and leg.second.jump.angle:
        parts.append("on the angle")
    if leg.second and leg.second.jump.land:
        parts.append(f"land on the {leg.second.jump.land} lead")
    return ", ".join(parts)


def _parts(leg: PlanLeg) -> list[Values]:
    """What is taught on the way, then what is taught at its fence."""
    way = _taught(leg.shape if leg.first else "start", leg.link.lesson)
    jump = _taught("jump", leg.second.jump.lesson) if leg.second else []
    return way + jump


def _taught(label: str, lesson: ElementLesson) -> list[Values]:
    if lesson == ElementLesson():
        return []
    return [{
        "label": label,
        "purpose": lesson.purpose,
        "watch": list(lesson.watch),
        "passed": lesson.passed_when,
        "wrong": list(lesson.if_it_goes_wrong),
    }]  # fmt: skip


def _fewer(plan: Plan) -> list[str]:
    said = plan.definition
    out = []
    if said.may_be_poles:
        out.append(f"May lie as poles: {', '.join(said.may_be_poles)}.")
    if said.may_be_left_out:
        out.append(f"May be left out: {', '.join(said.may_be_left_out)}.")
    return out


def _horses(plan: Plan, units: Units) -> str:
    horses = plan.terms.horses
    return f"{horses.size}, {horses.experience}, stride {length_text(horses.stride_m, units)}"


def _picture(plan: Plan) -> str:
    """What the drawing shows, for those who hear it."""
    fences = len({fence.fence.whole or fence.name for fence in plan.fences})
    jumps = plan.totals.jumps
    of = f"{plan.definition.title}, {plan.name}" if plan.name else plan.definition.title
    return (
        f"Plan of {of}: {counted(fences, 'fence')}, "
        f"{counted(jumps, 'jump')}. The ride in words follows."
    )
