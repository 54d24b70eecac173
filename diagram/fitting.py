"""An exercise moved to another arena, other horses or another height, or turned about.

The definition is changed as a trainer would change it, the fences are let go and find their
places again from the strides, near where they stood, and the new places are written down.
"""

from __future__ import annotations

import copy
import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from msgspec import Struct

from diagram.diagnostics import Diagnostic, RejectedError, Severity
from diagram.edits import Drop, EditError, Put, edited
from diagram.exercise.arena import Arena, resolve_arena
from diagram.geometry.pose import Pose
from diagram.model import Definition, validate
from diagram.model.fence_words import spelled
from diagram.placing.arrange import arrange
from diagram.placing.outcome import Layout
from diagram.planning import Plan, make_plan, plan_of, read_setting
from diagram.source import Document, Mapping, plain, read, read_text, written
from diagram.units import UnitError, feet_inches, parse_length

Values = dict[str, Any]


class Wanted(Struct, frozen=True):
    """What is to change. `arena` is a size, a name, or ``FILE:NAME`` of another library; `move`
    says how fences are moved from where they stand: ``rowan 2 steps left``."""

    arena: str | None = None
    horses: str | None = None
    height: str | None = None
    mirrored: bool = False
    end_for_end: bool = False
    move: tuple[str, ...] = ()

    @property
    def turned(self) -> bool:
        """Whether the whole is turned about."""
        return self.mirrored or self.end_for_end


class Fitted(Struct, frozen=True):
    """The exercise before and after, the text of its new definition, and what of it is not kept."""

    before: Plan
    after: Plan
    text: str
    layout: Layout
    not_kept: str = ""


def fit(plan: Plan, wanted: Wanted) -> Fitted:
    """Fit an exercise to what is wanted. Raises RejectedError.

    A file that says where its fences stand gets new places near the old ones; one that does not
    is left to be laid out again. All else of the text stays as it was written.
    """
    old: Values = plain(plan.document.root)
    in_words, in_blocks = old["fences"], spelled(old["fences"])
    values = copy.deepcopy({**old, "fences": in_blocks})
    _change(values, wanted, plan)
    pinned = [name for name, block in values["fences"].items() if "at" in block]
    if wanted.end_for_end:
        pinned = list(values["fences"])
    if wanted.arena:
        _at_home(values, plan)
    if pinned and (wanted.arena or wanted.horses or wanted.height or wanted.turned):
        released = _released(values)
        document = _document(released, plan)
        setting = read_setting(document, validate(document, Definition))
        layout = arrange(setting, _near(plan, setting.arena, wanted), stay=True)
        if layout.shortages:
            return Fitted(plan, plan_of(setting, layout), written(values), layout)
        _pin(values, {name: layout.poses[name] for name in pinned})
    values["fences"] = {
        name: in_words[name] if block == in_blocks[name] else block
        for name, block in values["fences"].items()
    }
    text, kept = _text(plan.document.text, old, values)
    # The plan is made from what is written down, so that it is the plan of that file.
    fixed = read_text(text, plan.document.name)
    after = make_plan(fixed, validate(fixed, Definition), plan.name)
    return Fitted(plan, after, text, after.layout, kept)


def _text(text: str, old: Values, new: Values) -> tuple[str, str]:
    """The text with what changed put in its place, and why it was written anew if it had to be."""
    try:
        return edited(text, list(_differences(old, new, ()))), ""
    except EditError as problem:
        return written(new), f"comments and order are not kept: {problem}"


def _differences(old: Any, new: Any, path: tuple[str | int, ...]) -> Iterator[Put | Drop]:
    """The changes that make one value of another."""
    if isinstance(old, dict) and isinstance(new, dict):
        before = None
        for key, value in new.items():
            if key not in old:
                yield Put((*path, key), value, after=before)
            elif value != old[key]:
                yield from _differences(old[key], value, (*path, key))
            before = key
        yield from (Drop((*path, key)) for key in old if key not in new)
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new) and path:
        if all(isinstance(item, str) for item in old):
            yield Put(path, new)
        else:
            for n, (one, other) in enumerate(zip(old, new, strict=True)):
                if one != other:
                    yield from _differences(one, other, (*path, n))
    elif isinstance(old, dict):
        yield Drop(path)
        yield Put(path, new)
    else:
        yield Put(path, new)


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
    if wanted.move:
        said = values.get("move", [])
        values["move"] = [*([said] if isinstance(said, str) else said), *wanted.move]


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


BY_RAIL_M = 8.0
"""Metres from a rail within which a fence keeps its distance from it in another arena."""


def _near(plan: Plan, arena: Arena, wanted: Wanted) -> dict[str, Pose]:
    """Where the bodies stood, turned about as wanted, and as near to the same rails."""
    x0, y0, x1, y1 = plan.arena.region.bounds
    a0, b0, a1, b1 = arena.region.bounds
    near = {}
    for name, pose in plan.layout.poses.items():
        x, y, heading = pose.x, pose.y, pose.heading
        if wanted.mirrored:
            y, heading = y0 + y1 - y, -heading
        if wanted.end_for_end:
            x, y, heading = x0 + x1 - x, y0 + y1 - y, heading + math.pi
        near[name] = Pose(_across(x, (x0, x1), (a0, a1)), _across(y, (y0, y1), (b0, b1)), heading)
    return near


def _across(place: float, old: tuple[float, float], new: tuple[float, float]) -> float:
    """A place from rail to rail in another arena: as far from a near rail, else in proportion."""
    length, other = old[1] - old[0], new[1] - new[0]
    if abs(length - other) < 1e-9:
        return place - old[0] + new[0]
    edge = min(BY_RAIL_M, length / 2, other / 2)
    from_start, from_end = place - old[0], old[1] - place
    if from_start <= edge:
        return new[0] + from_start
    if from_end <= edge:
        return new[1] - from_end
    share = (from_start - edge) / (length - 2 * edge)
    return new[0] + edge + share * (other - 2 * edge)


def _pin(values: Values, poses: dict[str, Pose]) -> None:
    """Write the places down, to the millimetre and a thousandth of a degree."""
    for name, pose in poses.items():
        block = values["fences"][name]
        for key in ("on", "placed"):
            block.pop(key, None)
        block["at"] = [f"{pose.x:.3f} m", f"{pose.y:.3f} m"]
        block["facing"] = f"{math.degrees(pose.heading) % 360:.3f}°"


def _refused(message: str, hint: str) -> RejectedError:
    return RejectedError([Diagnostic("fit", Severity.ERROR, message, None, hint)], {})
