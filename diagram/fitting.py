"""An exercise moved to another arena, other horses or another height, or turned about.

The definition is changed as a trainer would change it, the fences are let go and find their
places again from the strides, near where they stood, and the new places are written down.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.exercise.arena import Arena, resolve_arena
from diagram.geometry.pose import Pose
from diagram.model import Definition, validate
from diagram.placing.arrange import arrange
from diagram.placing.outcome import Layout
from diagram.planning import Plan, make_plan, plan_of, read_setting
from diagram.source import Document, Mapping, plain, read, read_text, written
from diagram.units import UnitError, feet_inches, parse_length

Values = dict[str, Any]
PLACES = ("at", "facing", "on", "placed")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to change. `arena` is a size, a name, or ``FILE:NAME`` of another library."""

    arena: str | None = None
    horses: str | None = None
    height: str | None = None
    mirrored: bool = False
    end_for_end: bool = False


@dataclass(frozen=True, slots=True)
class Fitted:
    """The exercise before and after, and the text of its new definition."""

    before: Plan
    after: Plan
    text: str
    layout: Layout


def fit(plan: Plan, wanted: Wanted) -> Fitted:
    """Fit an exercise to what is wanted. Raises RejectedError."""
    values: Values = plain(plan.document.root)
    _change(values, wanted, plan)
    released = _released(values)
    if wanted.arena:
        _at_home(released, plan)
    document = _document(released, plan)
    setting = read_setting(document, validate(document, Definition))
    near = _near(plan, setting.arena, wanted)
    layout = arrange(setting, near, stay=True)
    _pin(values, layout.poses)
    text = written(values)
    if layout.shortages:
        return Fitted(plan, plan_of(setting, layout), text, layout)
    # The plan is made from what was written down, so that it is the plan of that file.
    fixed = read_text(text, plan.document.name)
    return Fitted(plan, make_plan(fixed, validate(fixed, Definition)), text, layout)


def _document(values: Values, plan: Plan) -> Document:
    return read_text(written(values), plan.document.name)


def _change(values: Values, wanted: Wanted, plan: Plan) -> None:
    if wanted.arena:
        values["arena"] = _arena(wanted.arena)
    if wanted.horses:
        values["horses"] = wanted.horses
    if wanted.height:
        _raise_fences(values, wanted.height, plan)
    if wanted.mirrored:
        _mirror(values)


def _arena(text: str) -> Any:
    """The name or size as it is, or the block of another file."""
    file, _, name = text.rpartition(":")
    if not file.endswith((".yaml", ".yml")):
        return text
    document = read(Path(file))
    node = document.root.get(name.strip()) if isinstance(document.root, Mapping) else None
    if node is None:
        known = [k.text for k, _ in getattr(document.root, "entries", ())]
        raise _refused(f"{file} has no arena {name.strip()!r}", "known: " + ", ".join(known))
    return plain(node)


def _raise_fences(values: Values, text: str, plan: Plan) -> None:
    """Set the level; fences with a height of their own go up or down as much as the level does."""
    try:
        height = parse_length(text)
    except UnitError as problem:
        raise _refused(problem.message, problem.hint) from None
    heights = [f.fence.measures.height_m for f in plan.fences if not f.fence.kind.ridden_over]
    level = plan.definition.level or max(heights, default=height)
    for block in values["fences"].values():
        for fence in (block, *block.get("elements", ())):
            for key in ("height", "front"):
                if key in fence:
                    own = parse_length(fence[key]) + height - level
                    fence[key] = feet_inches(max(own, 0.0))
    values["level"] = text


_HANDS = {"left": "right", "right": "left", "Left": "Right", "Right": "Left"}
_HAND = re.compile(r"\b(left|right|Left|Right)\b")


def _mirror(values: Values) -> None:
    """Left and right exchanged in the ride and wherever they are said of it."""

    def swap(text: str) -> str:
        return _HAND.sub(lambda m: _HANDS[m[1]], text)

    said = ("warm up", "easier", "harder", "leads to", "notes", "purpose", "if it goes wrong")
    for key in ("ride", "rides", *said):
        if key in values:
            values[key] = _each_text(values[key], swap)
    for block in values["fences"].values():
        for key in ("placed", "elements"):
            if key in block:
                block[key] = _each_text(block[key], swap)


def _each_text(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if isinstance(value, list):
        return [_each_text(item, change) for item in value]
    return {key: _each_text(item, change) for key, item in value.items()}


def _released(values: Values) -> Values:
    """The values with every fence that is pinned to a point let go."""
    fences = {}
    for name, block in values["fences"].items():
        pinned = "at" in block
        fences[name] = {
            key: value for key, value in block.items() if not (pinned and key in ("at", "facing"))
        }
    return {**values, "fences": fences}


def _at_home(values: Values, plan: Plan) -> None:
    """Replace what is said by names that the other arena has not.

    A fence that faces something of the old arena goes on facing that way, as an angle; one that
    stands on a line of the old arena is let go.
    """
    document = _document(values, plan)
    arena = resolve_arena(validate(document, Definition).arena, document)
    known = {*arena.sides, *arena.marks()}
    gone = [name for name in (*plan.arena.sides, *plan.arena.marks()) if name not in known]
    for name, block in values["fences"].items():
        if block.get("facing") in gone:
            block["facing"] = f"{math.degrees(plan.layout.poses[name].heading) % 360:.3f}°"
        if any(re.search(rf"\b{re.escape(word)}\b", str(block.get("on", ""))) for word in gone):
            del block["on"]


def _near(plan: Plan, arena: Arena, wanted: Wanted) -> dict[str, Pose]:
    """Where the bodies stood, turned about as wanted, with the middles of both arenas together."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    a0, b0, a1, b1 = arena.region.bounds
    to = ((a0 + a1) / 2, (b0 + b1) / 2)
    near = {}
    for name, pose in plan.layout.poses.items():
        dx, dy, heading = pose.x - middle[0], pose.y - middle[1], pose.heading
        if wanted.mirrored:
            dy, heading = -dy, -heading
        if wanted.end_for_end:
            dx, dy, heading = -dx, -dy, heading + math.pi
        near[name] = Pose(to[0] + dx, to[1] + dy, heading)
    return near


def _pin(values: Values, poses: dict[str, Pose]) -> None:
    """Write the places down, to the millimetre and a thousandth of a degree."""
    for name, block in values["fences"].items():
        pose = poses[name]
        for key in PLACES:
            block.pop(key, None)
        block["at"] = [f"{pose.x:.3f} m", f"{pose.y:.3f} m"]
        block["facing"] = f"{math.degrees(pose.heading) % 360:.3f}°"


def _refused(message: str, hint: str) -> RejectedError:
    return RejectedError([Diagnostic("fit", Severity.ERROR, message, None, hint)], {})
