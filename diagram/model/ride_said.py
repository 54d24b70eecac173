"""Phrases of a ride read: from the text of a step to what it says."""

from __future__ import annotations

import re
from typing import Any, Literal

from msgspec.structs import replace

from diagram.model.meant import CLAUSES, meant
from diagram.model.phrases import (
    COUNT,
    NUMBER,
    Grammar,
    PhraseError,
    clauses,
    count_said,
    read_phrase,
    reads,
    respelt,
    said_otherwise,
)
from diagram.model.ride_grammar import BEHIND, BEND, CIRCLE, FINISH, JUMP, LINE, START, TURN
from diagram.model.ride_otherwise import (
    FINISH_OTHERWISE,
    JUMP_OTHERWISE,
    LINE_OTHERWISE,
    START_OTHERWISE,
    TURN_OTHERWISE,
    WAY_OTHERWISE,
)
from diagram.model.said import CircleSaid, FinishSaid, JumpSaid, StartSaid, WaySaid


def read_start(text: str) -> StartSaid:
    """``canter, left lead``."""
    return StartSaid(**read_phrase(text, START, otherwise=START_OTHERWISE))


def read_jump(text: str) -> JumpSaid:
    """``birch``, ``birch from behind``, ``birch, angled left 20°, land right``."""
    name, rest = _name_first(text)
    if not rest.strip(" ,"):
        return JumpSaid(name)
    return JumpSaid(name, **read_phrase(rest, JUMP, otherwise=JUMP_OTHERWISE))


def _name_first(text: str) -> tuple[str, str]:
    """The fence named at the head of `text`; the rest padded so that places still agree."""
    first = clauses(text)[:1]
    if not first:
        raise PhraseError("no fence is named", "write the name of a fence")
    name = re.split(rf"\s+(?:{BEHIND}$|(?:angled|(?:at|on) an angle)\b)", first[0].text)[0]
    end = first[0].start + len(name)
    return name, " " * end + text[end:]


def why_not_named(name: str, rest: str) -> str:
    """What to write for the `name` of a fence and what stands behind it with no comma."""
    words = rest.strip(" -()")
    if hint := said_otherwise(words, JUMP_OTHERWISE):
        return hint
    if reads(words, JUMP):
        return f"write `{name}, {words}`, with a comma"
    if hint := respelt(words, JUMP):
        return f'did you mean "{name}, {hint}"?'
    if hint := meant(words, CLAUSES, lambda text: reads(text, JUMP), True):
        return hint.replace(" `", f" `{name}, ")
    return (
        f"write `{name}` alone; what is said of a jump comes after a comma: `{name}, from behind`"
    )


def read_line(text: str) -> WaySaid:
    """``5 strides``, ``72'``, ``8 strides, halt in the middle``."""
    return _sided(_way("line", _with_its_sides(text), LINE), text)


def read_bend(text: str) -> WaySaid:
    """``left, 6 strides``, ``right 45°, 5 strides``."""
    return _sided(_way("bend", _with_its_sides(text), BEND), text)


def _sided(way: WaySaid, text: str) -> WaySaid:
    """The way with the canter strides on each side of its transition, if it is said by those."""
    match = _SIDES.search(text)
    if match is None or way.transition is None:
        return way
    sides = count_said(match["in"])
    return replace(way, transition=replace(way.transition, sides=sides))


_SIDES = re.compile(
    rf"(?P<in>{COUNT})(?: strides?)?, ?(?P<gait>walk|trot|halt)"
    rf"(?: {NUMBER}(?: (?:steps?|strides?|seconds?|s))?)?"
    rf", ?(?P<out>{COUNT})(?: strides?)?",
    re.IGNORECASE,
)


def _with_its_sides(text: str) -> str:
    """``5, walk 5, 5``, as a drawing says it, in the words for it: ``10 strides, walk 5 steps in
    the middle``. Raises PhraseError where the two sides differ."""
    match = _SIDES.search(text)
    if match is None:
        return text
    into, out = (count_said(match[side]) for side in ("in", "out"))
    gait = match["gait"].lower()
    unit = "seconds" if gait == "halt" else "steps"
    middle = f"{gait} {match['number']} {unit}" if match["number"] else gait
    if into != out:
        hint = f"write {into + out} strides, {middle} after {into} strides"
        message = "how many strides are left after it follows from the line"
        raise PhraseError(message, hint, match.start(), len(match[0]))
    said = f"{into + out} strides, {middle} in the middle"
    return text[: match.start()] + said + text[match.end() :]


def read_turn(text: str) -> WaySaid:
    """``left``, ``right, flying change``."""
    return _way("turn", text, TURN)


def read_rollback(text: str) -> WaySaid:
    """``left``: a turn no wider than it must be."""
    return _way("turn", text, TURN, tight=True)


def _way(
    shape: Literal["line", "bend", "turn"], text: str, grammar: Grammar, tight: bool = False
) -> WaySaid:
    otherwise = {"line": LINE_OTHERWISE, "turn": TURN_OTHERWISE}.get(shape, WAY_OTHERWISE)
    said = read_phrase(text, grammar, otherwise=otherwise)
    if shape != "line" and said.get("left") is None:
        word = "rollback" if tight else shape
        hint = f"write {word}: left, {text.strip()}"
        raise PhraseError("left or right is missing", hint, 0, len(text))
    if shape == "bend" and said.get("turn") is not None:
        said["turn"] = abs(said["turn"]) * (1 if said["left"] else -1)
    if shape == "bend" and len(said.get("ways", ())) == 1:
        said |= _round_way_first(said)
    if not said.pop("counted", False) and "strides" in said and "length" in said:
        hint = "give one, or write 5 strides at 70'"
        gait = said["transition"].gait if "transition" in said else said.get("gait")
        if gait and (steps := _STEPS.search(text)):
            hint = f"say the steps with the {gait}: write `{gait} {steps[1]} steps in the middle`"
        raise PhraseError("both strides and a length are given", hint, 0, len(text))
    return WaySaid(shape=shape, tight=tight, **said)


_STEPS = re.compile(r"(\d+) ?(?:m|steps?)\b")


def _round_way_first(said: dict[str, Any]) -> dict[str, Any]:
    """Of two counts round a bend the larger is the bend, and the smaller cuts it."""
    (other,), (pace,) = said["ways"], said["paces"]
    if other < said["strides"]:
        return {}
    return {"strides": other, "pace": pace, "ways": (said["strides"],),
            "paces": (said.get("pace", "normal"),)}  # fmt: skip


def read_circle(text: str) -> CircleSaid:
    """``left, 20 m``."""
    said = read_phrase(text, CIRCLE)
    if "left" not in said:
        hint = f"write circle: left, {text.strip()}"
        raise PhraseError("left or right is missing", hint, 0, len(text))
    return CircleSaid(**said)


def read_finish(text: str) -> FinishSaid:
    """``circle left, walk``, ``straight on, halt``, ``straight on, trot, walk``."""
    said = FinishSaid(**read_phrase(text, FINISH, "gaits", FINISH_OTHERWISE))
    before, circle, _ = text.lower().partition("circle")
    early = re.search(r"\b(walk|trot|halt)\b", before)
    if said.circle and circle and early:
        hint = f"write the circle first, then {early[0]}: a circle to finish on is cantered"
        message = f"a {early[0]} before the circle is not ridden"
        raise PhraseError(message, hint, early.start(), len(early[0]))
    return said
