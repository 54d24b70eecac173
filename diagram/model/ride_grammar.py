"""The clauses that phrases of a ride are made of, each with what it says."""

from __future__ import annotations

import re
from typing import Any

from diagram.model.phrases import (
    COUNT,
    NUMBER,
    Grammar,
    PhraseError,
    count_said,
    hand,
    length,
    number,
    signed_angle,
)
from diagram.model.said import CircleSaid, Pace, Transition, WhereSaid
from diagram.trade.words import Gait

STRIDES = (
    rf"(?:{NUMBER} (?:(?P<pace>quiet|steady|normal|forward|long) )?strides?|(?P<bounce>bounce))"
)
LENGTH = r"(?P<length>\d[^a-z]*(?:'|\"|ft|feet|m|metres?|meters?|cm|in|steps?)[^a-z]*(?:in)?)"
ANGLE = r"(?P<angle>\d+(?:\.\d+)?\s*(?:°|deg|degrees?))"
SIDE = r"(?P<side>left|right)"
PACES: dict[str, Pace] = {"steady": "quiet", "quiet": "quiet", "forward": "forward",
                          "long": "forward", "normal": "normal"}  # fmt: skip
PLACE = r"(?:at|near|by|in) (?:the )?(?P<place>[^,]+?)(?P<end> end)?"


def _place(match: re.Match[str]) -> WhereSaid | None:
    if not match["place"]:
        return None
    return WhereSaid("end" if match["end"] else "near", (match["place"],))


def _circle(match: re.Match[str]) -> CircleSaid:
    diameter = length(match) if match["length"] else None
    return CircleSaid(hand(match["side"]), diameter, _place(match))


def _corner(match: re.Match[str]) -> dict[str, Any]:
    names = tuple(name for name in (match["one"], match["two"]) if name)
    return {"where": WhereSaid("corner", names)}


def strides_of(match: re.Match[str]) -> dict[str, Any]:
    """The count in a match of STRIDES, and how it is ridden."""
    if match["bounce"]:
        return {"strides": 0}
    count = number(match)
    pace = (match["pace"] or "normal").lower()
    return {"strides": count, "pace": PACES[pace]}


def _transition(match: re.Match[str]) -> dict[str, Any]:
    amount = number(match) if match["number"] else None
    seconds = (
        bool(match["unit"])
        and match["unit"].lower().startswith("s")
        and (not match["unit"].lower().startswith("st"))
    )
    gait: Gait = match["gait"].lower()  # type: ignore[assignment]
    if gait == "halt" and amount is not None and not seconds:
        raise PhraseError("a halt has no steps", "write: halt 4 seconds in the middle")
    after = int(match["after"]) if match["after"] else None
    transition = Transition(
        gait,
        steps=amount if not seconds else None,
        seconds=float(amount) if seconds and amount is not None else None,
        after=after,
    )
    return {"transition": transition}


def _counted(match: re.Match[str]) -> dict[str, Any]:
    """A count and the length it is set at: built by the one, judged as the other."""
    return {**strides_of(match), "length": length(match), "counted": True}


OTHER = rf"(?P<other>{COUNT})"
OR = rf" or {OTHER}(?: (?P<other_pace>quiet|steady|normal|forward|long))?(?: strides?)?"
EITHER = rf"{NUMBER} or {OTHER} strides?"


def _either(match: re.Match[str]) -> dict[str, Any]:
    """Two counts for one way, each with how it is ridden."""
    return _in_two(strides_of(match), match["other"], match["other_pace"] or "normal")


def _in_two(said: dict[str, Any], text: str, pace: str) -> dict[str, Any]:
    """What is said of one count, and of another in the same words."""
    other = count_said(text)
    if other in (0, said["strides"]):
        raise PhraseError("two counts that differ are wanted", "write 5 strides or 4 forward")
    return {**said, "ways": (other,), "paces": (PACES[pace.lower()],)}


def _either_at(match: re.Match[str]) -> dict[str, Any]:
    return {**_either(match), "length": length(match), "counted": True}


DISTANCE: Grammar = {
    STRIDES: ("5 strides", strides_of),
    rf"{STRIDES}{OR}": ("5 strides or 4 forward", _either),
    EITHER: (
        "5 or 4 strides",
        lambda m: _in_two({"strides": number(m)}, m["other"], "normal"),
    ),
    rf"{STRIDES}{OR} at {LENGTH}": ("5 strides or 4 forward at 66'", _either_at),
    rf"{STRIDES} at {LENGTH}": ("5 strides at 70'", _counted),
    LENGTH: ("72'", lambda m: {"length": length(m)}),
}
ON_THE_WAY: Grammar = {
    rf"(?P<gait>walk|halt|trot)(?: {NUMBER} (?P<unit>steps?|strides?|seconds?|s))?"
    r" (?:in the middle|after (?P<after>\d+) strides?)": (
        "walk 5 steps in the middle",
        _transition,
    ),
    rf"halt(?: {NUMBER} (?:seconds?|s))?": (
        "halt 4 seconds",
        lambda m: {
            "transition": Transition("halt", None, float(number(m)) if m["number"] else None)
        },
    ),
    r"(?P<kind>flying|simple) change": (
        "flying change",
        lambda m: {"change": m["kind"].lower()},
    ),
    r"counter-?canter": ("counter-canter", lambda _: {"counter": True}),
}
HAND: Grammar = {SIDE: ("left", lambda m: {"left": hand(m["side"])})}
COMING: Grammar = {
    r"(?:in )?(?P<gait>walk|trot|canter)": ("trot", lambda m: {"gait": m["gait"].lower()})
}
LIES: Grammar = {
    r"(?P<slope>uphill|downhill|level)": ("uphill", lambda m: {"slope": m["slope"].lower()}),
    r"(?P<gate>(?:towards|away from|across) the gate)": (
        "towards the gate",
        lambda m: {"gate": " ".join(m["gate"].lower().split())},
    ),
}
LINE: Grammar = {**DISTANCE, **ON_THE_WAY, **COMING, **LIES}
BEND: Grammar = {
    rf"{SIDE} {ANGLE}": (
        "left 45°",
        lambda m: {"left": hand(m["side"]), "turn": signed_angle(m["side"], m["angle"])},
    ),
    **HAND,
    ANGLE: ("45°", lambda m: {"turn": signed_angle(None, m["angle"])}),
    r"round": ("round", lambda _: {"round": True}),
    rf"radius {LENGTH}": ("radius 9 m", lambda m: {"radius": length(m)}),
    rf"round (?:on )?(?:an? )?{LENGTH} circle": (
        "round on an 18 m circle",
        lambda m: {"round": True, "radius": length(m) / 2},
    ),
    **LINE,
}
TURN: Grammar = {**HAND, **ON_THE_WAY, **COMING}
CIRCLE: Grammar = {
    **HAND,
    rf"(?:circle )?(?:{SIDE} )?{LENGTH}(?: circle)?(?: {PLACE})?": (
        "left 20 m at the gate end",
        lambda m: {
            "diameter": length(m),
            **({"left": hand(m["side"])} if m["side"] else {}),
            **({"where": _place(m)} if m["place"] else {}),
        },
    ),
    PLACE: ("near the gate", lambda m: {"where": _place(m)}),
}
ALONG: Grammar = {
    r"(?:along|with) (?:the )?(?P<place>[^,]+)": (
        "along left",
        lambda m: {"where": WhereSaid("along", (m["place"],))},
    ),
}
START: Grammar = {
    **ALONG,
    r"(?:from|through) the gate": ("from the gate", lambda _: {"where": WhereSaid("gate")}),
    r"(?:from|out of) the corner (?:of |at |by |near )?(?:the )?(?P<one>[^,]+?)"
    r"(?: and (?P<two>[^,]+))?": ("from the corner of left and top", _corner),
    rf"circle {SIDE}(?: {LENGTH})?(?: {PLACE})?": (
        "circle left 20 m near the gate",
        lambda m: {"circle": _circle(m)},
    ),
    r"(?P<gait>walk|trot|canter)": ("canter", lambda m: {"gait": m["gait"].lower()}),
    rf"(?:on )?(?:the )?{SIDE} (?:lead|rein)": (
        "left lead",
        lambda m: {"lead": m["side"].lower()},
    ),
}
BEHIND = r"(?:from behind|backwards|from the other side|(?:the )?other way(?: round)?)"
JUMP: Grammar = {
    rf"(?:angled|angle|at) {SIDE} {ANGLE}": (
        "angled left 20°",
        lambda m: {"angle": signed_angle(m["side"], m["angle"])},
    ),
    rf"(?:angled|angle|at|(?:on|at) an angle of) {ANGLE} (?:to the )?{SIDE}": (
        "angled 20° left",
        lambda m: {"angle": signed_angle(m["side"], m["angle"])},
    ),
    rf"land(?:ing)? (?:on )?(?:the )?{SIDE}(?: lead)?|(?:on )?(?:the )?(?P<led>left|right) lead": (
        "land on the left lead",
        lambda m: {"land": (m["side"] or m["led"]).lower()},
    ),
    BEHIND: ("from behind", lambda _: {"from_behind": True}),
}


def _gait(match: re.Match[str]) -> dict[str, Any]:
    return {"gaits": (match["gait"].lower(),)}


FINISH: Grammar = {
    r"(?:in )?(?P<gait>walk|trot|canter|halt)": ("walk, trot or halt", _gait),
    r"(?P<gait>canter|trot|walk)(?: and| then|, then| and then) (?P<then>trot|walk|halt)": (
        "trot then walk",
        lambda m: {"gaits": (m["gait"].lower(), m["then"].lower())},
    ),
    rf"circle {SIDE}(?: {LENGTH})?(?: {PLACE})?": (
        "circle left 20 m",
        lambda m: {"circle": _circle(m)},
    ),
    r"straight(?: on)?": ("straight on", lambda _: {"straight": True}),
    r"(?:along|with) the (?:rail|track|wall)": (
        "with the rail",
        lambda _: {"rail": True},
    ),
    r"(?P<gait>walk|trot|halt) (?:on (?:the|its)|in an?(?: straight)?) line": (
        "halt on the line",
        lambda m: {**_gait(m), "straight": True},
    ),
    **ALONG,
}
TURNED: Grammar = {
    rf"turned {SIDE} {ANGLE}": (
        "turned left 45°",
        lambda m: {"turn": signed_angle(m["side"], m["angle"])},
    ),
    r"from behind": ("from behind", lambda _: {"from_behind": True}),
}
