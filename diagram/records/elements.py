"""From a plan to the columns of a sheet: every fence with the way to it, copied for good.

The copy is what was asked on that day. The exercise may be edited later; what was seen stays.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from diagram.judging.pass_marks import pass_mark
from diagram.path.line import Crossing
from diagram.planning import Plan, PlanLeg
from diagram.records.changes import Writer
from diagram.records.trouble import trouble
from diagram.records.values import Shape
from diagram.units import length_text


class Asks(Struct, frozen=True):
    """What is asked tonight otherwise than in the file: strides, heights and spreads, each by the
    number that the card prints (``2``, ``4a``).

    Lengths are millimetres. `poles` and `left_out` are names of fences that lie on the ground, or
    are not there.
    """

    strides: dict[str, int] = field(default_factory=dict)
    heights: dict[str, int] = field(default_factory=dict)
    spreads: dict[str, int] = field(default_factory=dict)
    poles: frozenset[str] = frozenset()
    left_out: frozenset[str] = frozenset()

    @property
    def places(self) -> set[str]:
        """The elements that something else is asked of."""
        return {*self.strides, *self.heights, *self.spreads}


def exercise_row(writer: Writer, plan: Plan, height_mm: int, asks: Asks) -> int:
    """The id of this version of an exercise, which is written into the record if it is new.

    `height_mm` is what most fences are built to tonight. What is asked otherwise makes another
    version, with a title that says so. Raises RejectedError for strides where none are counted.
    """
    elements = _built(plan, asks)
    titles = [plan.definition.title, *([plan.name] if plan.name else [])]
    titles += [f"without {name}" for name in sorted(asks.left_out)]
    titles += [f"{name} as poles" for name in sorted(asks.poles)]
    titles += ask_otherwise(elements, asks, height_mm)
    for own in elements:
        own["tags"] = json.dumps(own["tags"], ensure_ascii=False, sort_keys=True)
    title = ", ".join(titles)
    content = json.dumps([title, elements], sort_keys=True, ensure_ascii=False)
    digest = hashlib.sha256(content.encode()).hexdigest()
    rows = writer.record.rows("SELECT exercise_id FROM exercise WHERE digest = ?", digest)
    if rows:
        return int(rows[0][0])
    file = Path(plan.document.name).name
    number = writer.add("exercise", title=title, digest=digest, file=file)
    for values in elements:
        writer.add("element", exercise_id=number, **values)
    return number


def ask_otherwise(elements: Sequence[dict[str, Any]], asks: Asks, height_mm: int) -> list[str]:
    """Write into elements what is asked otherwise tonight, and say it as the title will.

    A fence is built higher or wider wherever it is jumped. Raises RejectedError for a place that
    is not there, strides where none are counted, and the width of what is no spread.
    """
    titles: list[str] = []
    for place, strides in sorted(asks.strides.items()):
        own = _at(elements, place)
        if own["strides_asked"] is None or own["strides_out_asked"] is not None:
            raise trouble("sheet", f"no strides are counted to {place} {own['name']}")
        own["strides_asked"] = strides
        # What the file says of its own count does not hold for another.
        own["pass_mark"] = f"{strides} strides."
        own["tags"].pop("on the sheet", None)
        own["tags"].pop("counts", None)
        titles.append(f"{place} in {strides}")
    for place, height in sorted(asks.heights.items()):
        own = _at(elements, place)
        for same in _jumped_again(elements, own):
            same["tags"]["above mm"] = height - height_mm
        titles.append(f"{own['name']} at {length_text(height / 1000, 'feet')}")
    for place, spread in sorted(asks.spreads.items()):
        own = _at(elements, place)
        if not own["tags"]["spread mm"]:
            raise trouble("sheet", f"{place} {own['name']} is no spread")
        for same in _jumped_again(elements, own):
            same["tags"]["spread mm"] = spread
        titles.append(f"{own['name']} {length_text(spread / 1000, 'feet')} wide")
    return list(dict.fromkeys(titles))


def too_high(plan: Plan, height_mm: int, asks: Asks) -> str:
    """What is built tonight above the heights that the file names; nothing where all is within."""
    heights = plan.definition.heights
    highest = max([height_mm, *asks.heights.values()])
    if heights is None or highest <= round(heights[1] * 1000):
        return ""
    asked, most = (length_text(m, "feet") for m in (highest / 1000, heights[1]))
    return f"{plan.definition.title}: {asked} is asked, and the file goes up to {most}"


def _jumped_again(elements: Sequence[dict[str, Any]], own: dict[str, Any]) -> list[dict[str, Any]]:
    return [other for other in elements if other["name"] == own["name"]]


def _built(plan: Plan, asks: Asks) -> list[dict[str, Any]]:
    """The elements as they stand tonight: without what is left out, poles where poles lie."""
    found = []
    legs = watched_legs(plan)
    numbers = numbers_of(legs)
    for leg, number in zip(legs, numbers, strict=True):
        assert leg.second is not None
        if _called(leg.second) in asks.left_out:
            continue
        own = element_values(plan, leg, number)
        if leg.first is not None and _called(leg.first) in asks.left_out:
            # Nobody says what the longer way asks for.
            for key in ("strides_asked", "strides_out_asked", "canter_mm", "seconds_asked",
                        "pass_mark"):  # fmt: skip
                own[key] = None
            for tag in ("from", "counts", "on the sheet"):
                own["tags"].pop(tag, None)
        if _called(leg.second) in asks.poles:
            own["tags"] |= {"pole": True, "above mm": 0, "spread mm": 0}
        found.append(own)
    if not found:
        raise trouble("sheet", f"nothing is left of {plan.definition.title}", "leave less out")
    return found


def _called(crossing: Crossing) -> str:
    """The name a lesson uses: that of the whole combination, or of the fence."""
    return crossing.jump.whole or crossing.jump.fence


def _at(elements: Sequence[dict[str, Any]], place: str) -> dict[str, Any]:
    named = {str(own["tags"].get("called", own["place"])): own for own in elements}
    if place not in named:
        hint = f"on the sheet: {', '.join(named)}"
        raise trouble("no-such-element", f"there is no element {place}", hint)
    return named[place]


def watched_legs(plan: Plan) -> list[PlanLeg]:
    """The legs that have a column: to every jump, and to poles only where nothing else is."""
    to_fences = [leg for leg in plan.legs if leg.second is not None]
    jumped = [
        leg for leg in to_fences if leg.second and not leg.second.fence.fence.kind.ridden_over
    ]
    return jumped or to_fences


def numbers_of(legs: Sequence[PlanLeg]) -> list[str]:
    """What card and sheet call the jumps of `legs`; where a pole among them has no number on the
    card, all are counted through."""
    jumps = [leg.link.second for leg in legs if leg.link.second is not None]
    if all(jump.label for jump in jumps):
        return [jump.label for jump in jumps]
    return [str(jump.number) for jump in jumps]


def element_values(plan: Plan, leg: PlanLeg, number: str) -> dict[str, Any]:
    """The columns of one element, called `number` on paper: the leg's second fence, and the leg."""
    jump, fence = leg.link.second, leg.second
    assert jump is not None
    assert fence is not None
    ground = leg.ridden.ground
    inside = leg.ridden.in_and_out
    counted = leg.strides is not None and leg.shape in ("line", "bend")
    return {
        "place": jump.number,
        "name": jump.fence,
        "shape": _shape(leg),
        "rein": _rein(leg),
        "strides_asked": (inside.canter_in.strides if inside else leg.strides) if counted else None,
        "strides_out_asked": inside.canter_out.strides if inside and counted else None,
        "lead_asked": jump.land,
        "canter_mm": _mm(leg.track_m) if leg.first else None,
        "landing_mm": _mm(ground.landing_m) if leg.first else None,
        "take_off_mm": _mm(ground.take_off_m),
        "seconds_asked": round(leg.seconds, 1) if leg.first else None,
        "pass_mark": pass_mark(leg).passed or None,
        "tags": _tags(plan, leg) | ({"called": number} if number != str(jump.number) else {}),
    }


def _mm(metres: float) -> int:
    return round(metres * 1000)


def _shape(leg: PlanLeg) -> Shape:
    if leg.link.inner:
        return "combination"
    if leg.link.circles:
        return "circle"
    if leg.ridden.in_and_out is not None:
        return "transition"
    return "turn" if leg.shape == "rollback" else leg.shape


def _rein(leg: PlanLeg) -> str | None:
    if leg.link.circles:
        return "left" if leg.link.circles[-1].left else "right"
    if leg.link.way is None or leg.link.way.left is None:
        return None
    return "left" if leg.link.way.left else "right"


def _tags(plan: Plan, leg: PlanLeg) -> dict[str, Any]:
    assert leg.second is not None
    assert leg.link.second is not None
    fence, jump = leg.second.fence.fence, leg.link.second
    measures = fence.measures
    level = plan.definition.level or measures.height_m
    watch = [*leg.link.lesson.watch, *jump.lesson.watch]
    tags: dict[str, Any] = {
        "kind": fence.kind.name,
        "phase": jump.phase,
        "above mm": 0 if fence.kind.ridden_over else _mm(measures.height_m - level),
        "spread mm": _mm(measures.spread_m),
    }
    if fence.kind.ridden_over:
        tags["pole"] = True
    if measures.filler:
        tags["filler"] = measures.filler.lower()
    if leg.first is not None:
        tags["from"] = leg.first.jump.fence
    if jump.from_behind:
        tags["from behind"] = True
    if jump.angle:
        tags["angled"] = True
    if short := pass_mark(leg).short:
        tags["on the sheet"] = short
    if watch:
        tags["watch"] = ", ".join([watch[0], *(f"{one[:1].lower()}{one[1:]}" for one in watch[1:])])
    if leg.others and leg.strides is not None:
        tags["counts"] = sorted({leg.strides, *(other.strides for other in leg.others)})
    return tags
